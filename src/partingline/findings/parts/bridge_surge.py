"""Whether the bridge stands the inrush current at the crest of the highest mains voltage."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_highest, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.bridge_surge",
    claim="The surge rating of the bridge is not below the inrush current at the highest mains voltage.",
    source=cite("maker-rating", "surge current of the bridge, one half cycle", "S"),
)
def bridge_surge(judge: Judge) -> Iterator[Finding]:
    """One finding for each bridge or diode whose surge rating or inrush is known."""
    inrush = at_highest(judge.book, "inrush_current", "stage:input")
    for part in judge.unit.having("bridge"):
        rated = Key.of(part.subject, "surge_current")
        if judge.book.fact(rated) or judge.book.fact(inrush):
            yield judge.at_least(
                rated,
                inrush,
                "Bridge {ref} stands a surge of {value}; switching on cold at the crest of {mains} mains "
                "draws {limit}.",
                label="inrush",
                next_step="Read the surge rating of the bridge and the cold resistance of the limiter.",
                ref=part.ref,
                mains=said_at(inrush),
            )
