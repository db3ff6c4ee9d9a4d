"""The source sends its messages at the bit rate of the standard."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.bit_rate",
    claim="The source sends at 270 to 330 kbit/s.",
    source=cite("ti-usb-pd", "fBitRate", "S2"),
)
def bit_rate(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "bit_rate"):
        yield judge.between(
            fact.key,
            270e3,
            330e3,
            "The source sends at {value} in the recording {name}; {low} to {high} is allowed.",
            name=name,
        )
