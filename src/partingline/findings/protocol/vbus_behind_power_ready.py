"""Behind the report that a supply is ready, VBUS stays in the range of the contract."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import valid_vbus
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.vbus_behind_power_ready",
    claim="VBUS stays within 5 % and 0.5 V of the contract's voltage behind PS_RDY, within 5 % and 0.1 V in PPS.",
    source=cite("usb-pd-web", "vSrcValid in a firmware constant; vPpsValid in firmware comments", "M"),
)
def vbus_behind_power_ready(judge: Judge) -> Iterator[Finding]:
    yield from valid_vbus(
        judge,
        "behind power ready",
        "In the 50 ms behind PS_RDY of the contract of {contract} VBUS is at {value} where it is furthest off, "
        "in the recording {name}; {low} to {high} is allowed.",
    )
