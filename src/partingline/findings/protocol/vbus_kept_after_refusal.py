"""Where the source refuses a request, VBUS stays where it was."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import valid_vbus
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.vbus_kept_after_refusal",
    claim="After Reject or Wait VBUS stays in the range of the contract in force, of 5 V where there is none yet.",
    source=cite("usb-pd-r3", "8.3, a refused request leaves the contract as it is; vSrcValid in firmware", "M"),
)
def vbus_kept_after_refusal(judge: Judge) -> Iterator[Finding]:
    yield from valid_vbus(
        judge,
        "behind a refusal",
        "In the 350 ms behind a refused request VBUS goes to {value} with {contract} in force, in the recording "
        "{name}; {low} to {high} is allowed.",
    )
