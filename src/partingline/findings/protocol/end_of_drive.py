"""The source lets go of the wire soon after a frame."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.end_of_drive",
    claim="The source lets go of the wire within 23 µs of the end of a frame.",
    source=cite("onsemi-fusb302", "table 9, tEndDriveBMC", "S2"),
)
def end_of_drive(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "longest_low_hold_time"):
        yield judge.at_most(
            fact.key,
            2.3e-05,
            "The longest hold of the wire behind a frame of the source in the recording {name} is "
            "{value}, the rise of the idle level included; {limit} is allowed.",
            name=name,
        )
