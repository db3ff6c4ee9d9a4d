"""On its way to a contract VBUS does not run beyond what the contract allows."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures, valid_room
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.vbus_overshoot",
    claim="VBUS goes no more than 5 % and 0.5 V beyond the contract's voltage, 5 % and 0.1 V in PPS.",
    source=cite("usb-pd-web", "vSrcValid in a firmware constant; vPpsValid in firmware comments", "M"),
)
def vbus_overshoot(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "vbus_overshoot"):
        contract = fact.key.number("offer")
        yield judge.at_most(
            fact.key,
            valid_room(fact),
            "VBUS goes {value} beyond the contract of {contract} in the recording {name}; {limit} is allowed.",
            contract=(contract, "vbus_level"),
            name=name,
        )
