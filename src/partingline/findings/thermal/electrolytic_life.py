"""How long the electrolytic capacitors last at the temperature read, beside five years of continuous use."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, estimate
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

YEAR = 8760.0 * 3600.0  # s
FIVE_YEARS = 5 * YEAR
MOST_YEARS = 15
MODELS = ("", "", " (by the 10 K rule {plain}, with the ripple's heat {ripple})")
"""What is said of the models, by how many of them could be computed."""


@rule(
    id="thermal.electrolytic_life",
    claim="The electrolytic capacitors last the life that is claimed, or five years of continuous full load.",
    source=cite("common-practice", "five years of continuous use; makers vouch for 15 years at most", "P"),
)
def electrolytic_life(judge: Judge) -> Iterator[Finding]:
    """One finding for each bulk capacitor, and for each output capacitor whose life can be computed.

    Two published models stand side by side; the shorter of the two is held against the limit.
    """
    claimed = Key.of("unit", "rated_life")
    limit = claimed if judge.book.fact(claimed) else FIVE_YEARS
    for part in judge.unit.having("bulk_capacitor") + judge.unit.having("output_capacitor"):
        lives = [at_lowest(judge.book, name, part.subject) for name in ("bulk_life", "ripple_life")]
        known = {key: life for key in lives if (life := estimate(judge.book, key)) is not None}
        if not known and part.role != "bulk_capacitor":
            continue
        key = min(known, key=lambda one: known[one], default=lives[0])
        life = known.get(key, 0.0)
        yield judge.at_least(
            key,
            limit,
            "Capacitor {ref} lasts {value} at the temperature read, {years} years of continuous full load"
            f"{MODELS[len(known)]}; the limit is {{limit}}.",
            label="claimed life" if limit is claimed else "five years",
            next_step="Read rated life and temperature of the capacitor, and its temperature at full load.",
            ref=part.ref,
            years=f"{life / YEAR:.1f}" if life < MOST_YEARS * YEAR else f"more than {MOST_YEARS}",
            plain=lives[0] if lives[0] in known else "",
            ripple=lives[1] if lives[1] in known else "",
        )
