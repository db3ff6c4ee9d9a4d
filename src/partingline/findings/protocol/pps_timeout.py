"""The source gives a programmable contract up when the device falls silent."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.pps_timeout",
    claim="The source sends Hard Reset 12 to 15 s after the last request of a programmable supply.",
    source=cite("usb-pd-r3", "tPPSTimeout; makers choose 13 and 14 s", "M"),
)
def pps_timeout(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "pps_timeout"):
        yield judge.between(
            fact.key,
            12.0,
            15.0,
            "The device is silent for {value} in a programmable contract of the recording {name} before "
            "it ends ({noted}); the source is to end it after {low} to {high}.",
            noted=fact.preferred.note,
            name=name,
        )
