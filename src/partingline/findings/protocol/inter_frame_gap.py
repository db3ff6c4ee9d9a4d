"""The source leaves the wire alone for a moment between two frames."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.inter_frame_gap",
    claim="The source begins a frame no sooner than 25 µs after the end of the one before.",
    source=cite("ti-usb-pd", "TUSB422, tInterFrameGap", "S2"),
)
def inter_frame_gap(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "inter_frame_gap"):
        yield judge.at_least(
            fact.key,
            2.5e-05,
            "The shortest gap before a frame of the source in the recording {name} is {value}; {limit} is needed.",
            name=name,
        )
