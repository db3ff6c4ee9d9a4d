"""Whether the bridge blocks the crest of the highest mains voltage."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_highest, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.bridge_voltage",
    claim="The rated voltage of the bridge is not below the crest of the highest mains voltage.",
    source=cite("maker-rating", "repetitive peak reverse voltage of the bridge", "S"),
)
def bridge_voltage(judge: Judge) -> Iterator[Finding]:
    """One finding for each bridge or diode."""
    crest = at_highest(judge.book, "peak_bulk_voltage", "stage:input")
    for part in judge.unit.having("bridge"):
        yield judge.at_least(
            Key.of(part.subject, "rated_voltage"),
            crest,
            "Bridge {ref} is rated {value}; the crest of {mains} mains is {limit}.",
            label="crest of the mains",
            next_step="Read the rated voltage of the bridge in its data sheet.",
            ref=part.ref,
            mains=said_at(crest),
        )
