"""Behind its last edge the source holds the wire low before it lets go."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.hold_low",
    claim="The source holds the wire low for at least 1 µs behind the last edge of a frame.",
    source=cite("onsemi-fusb302", "table 9, tHoldLowBMC", "S2"),
)
def hold_low(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "low_hold_time"):
        yield judge.at_least(
            fact.key,
            1e-06,
            "The shortest hold of the wire behind a frame of the source in the recording {name} is "
            "{value}; {limit} is needed.",
            name=name,
        )
