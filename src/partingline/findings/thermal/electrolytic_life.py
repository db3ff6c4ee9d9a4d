"""How long the electrolytic capacitors last at the temperature read, beside five years of continuous use."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, estimate
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

YEAR = 8760.0 * 3600.0  # s
FIVE_YEARS = 5 * YEAR


@rule(
    id="thermal.electrolytic_life",
    claim="The electrolytic capacitors last five years of continuous full load.",
    source=cite("common-practice", "five years of continuous use; makers vouch for 15 years at most", "P"),
)
def electrolytic_life(judge: Judge) -> Iterator[Finding]:
    """One finding for each bulk capacitor, and for each output capacitor whose life can be computed."""
    for part in judge.unit.having("bulk_capacitor") + judge.unit.having("output_capacitor"):
        key = at_lowest(judge.book, "bulk_life", part.subject)
        life = estimate(judge.book, key)
        if life is None and part.role != "bulk_capacitor":
            continue
        yield judge.at_least(
            key,
            FIVE_YEARS,
            "Capacitor {ref} lasts {value} at the temperature read, {years} years of continuous full load; "
            "five years are {limit}.",
            label="five years",
            next_step="Read rated life and temperature of the capacitor, and its temperature at full load.",
            ref=part.ref,
            years=f"{min((life or 0.0) / YEAR, 15):.1f}" if (life or 0.0) < 15 * YEAR else "more than 15",
        )
