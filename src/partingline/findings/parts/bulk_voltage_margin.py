"""Whether the bulk capacitors stand the crest of the highest mains voltage."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_highest, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.bulk_voltage_margin",
    claim="The rated voltage of the bulk capacitor is not below the crest of the highest mains voltage.",
    source=cite("maker-rating", "rated voltage of the capacitor", "S"),
)
def bulk_voltage_margin(judge: Judge) -> Iterator[Finding]:
    """One finding for each bulk capacitor."""
    crest = at_highest(judge.book, "peak_bulk_voltage", "stage:input")
    for part in judge.unit.having("bulk_capacitor"):
        yield judge.at_least(
            Key.of(part.subject, "rated_voltage"),
            crest,
            "Bulk capacitor {ref} is rated {value}; the crest of {mains} mains is {limit}.",
            label="crest of the mains",
            next_step="Read the rated voltage on the sleeve of the capacitor.",
            ref=part.ref,
            mains=said_at(crest),
        )
