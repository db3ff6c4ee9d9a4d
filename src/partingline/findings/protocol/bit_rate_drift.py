"""The bit rate stays the same through a frame."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.bit_rate_drift",
    claim="The bit rate changes by 0.25 % at most between the preamble and the rest of a frame.",
    source=cite("usb-pd-r3", "5.8.1, pBitRate", "M"),
)
def bit_rate_drift(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "bit_rate_drift"):
        yield judge.at_most(
            fact.key,
            0.0025,
            "The bit rate of the source changes by {value} at most within a frame of the recording "
            "{name}; {limit} is allowed.",
            next_step="Record the wire at 25 MS/s or more: a rate is then read to 0.03 %.",
            name=name,
        )
