"""VBUS moves no faster than a device can follow."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.vbus_slew",
    claim="VBUS moves by 30 mV/µs at most.",
    source=cite("usb-pd-web", "vSrcSlewPos and vSrcSlewNeg, second-hand; falling from memory", "M"),
)
def vbus_slew(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "vbus_slew"):
        yield judge.at_most(
            fact.key,
            30000.0,
            "VBUS moves by {value} at most in the recording {name}; {limit} is allowed.",
            name=name,
        )
