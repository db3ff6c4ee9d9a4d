"""When the source says that its supply is ready, VBUS is there."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

_SOURCES = {
    "pps": cite("onsemi-fusb302", "firmware, vPpsNew; the upper side from memory", "M"),
    "fixed": cite("microchip-psf", "vSrcNew, 0.95 to 1.05 of the object's voltage", "S2"),
}
_ADJUSTABLE = cite("usb-pd-r3", "vAvsNew", "M")


@rule(
    id="protocol.vbus_at_power_ready",
    claim="VBUS is within 5 % of the contract's voltage when the source reports its supply ready.",
    source=_SOURCES["fixed"],
)
def vbus_at_power_ready(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "vbus_level"):
        if fact.key.condition("state") != "power ready":
            continue
        contract = fact.key.number("offer")
        yield judge.between(
            fact.key,
            0.95 * contract,
            1.05 * contract,
            "At PS_RDY of the contract of {contract} VBUS is at {value} in the recording {name}; "
            "{low} to {high} is allowed.",
            label="±5 %",
            source=_SOURCES.get(str(fact.key.condition("supply")), _ADJUSTABLE),
            contract=(contract, "vbus_level"),
            name=name,
        )
