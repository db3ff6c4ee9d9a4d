"""The source leaves the extended power range when the device falls silent."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.epr_timeout",
    claim="The source sends Hard Reset 0.75 to 1 s after the last word of a device in the extended power range.",
    source=cite("usb-pd-r3", "tSourceEPRKeepAlive", "M"),
)
def epr_timeout(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "epr_timeout"):
        yield judge.between(
            fact.key,
            0.75,
            1.0,
            "The device is silent for {value} in the extended power range of the recording {name} before "
            "a hard reset; the source is to wait {low} to {high}.",
            name=name,
        )
