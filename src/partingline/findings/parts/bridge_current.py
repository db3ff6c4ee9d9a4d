"""Whether the bridge carries the rectified current at the lowest mains voltage."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, estimate, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.bridge_current",
    claim="The rated current of the bridge is not below its mean current at the lowest mains voltage.",
    source=cite("maker-rating", "average rectified current of the bridge", "S"),
)
def bridge_current(judge: Judge) -> Iterator[Finding]:
    """One finding for each bridge; a single diode of four carries half of the mean current."""
    mean = at_lowest(judge.book, "bridge_current", "stage:input")
    amperes = estimate(judge.book, mean)
    for part in judge.unit.having("bridge"):
        single = part.kind == "diode"
        yield judge.at_least(
            Key.of(part.subject, "rated_current"),
            amperes / 2 if single and amperes is not None else mean,
            "{what} {ref} is rated {value}; at full load and {mains} mains its mean current is {limit}.",
            label="mean current",
            next_step="Read the rated current of the bridge in its data sheet.",
            what="Diode" if single else "Bridge",
            ref=part.ref,
            mains=said_at(mean),
        )
