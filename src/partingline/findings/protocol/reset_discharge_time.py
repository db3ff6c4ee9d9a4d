"""After a hard reset VBUS is safely down in time."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

_EXTENDED = cite("usb-pd-r3", "tSafe0V, longer in the extended range", "M")


@rule(
    id="protocol.reset_discharge_time",
    claim="VBUS is below 0.8 V within 650 ms of a hard reset.",
    source=cite("zephyr-usbc", "tSafe0V", "S2"),
)
def reset_discharge_time(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "reset_discharge_time"):
        extended = fact.key.condition("range") == "extended"
        yield judge.at_most(
            fact.key,
            0.650,
            "VBUS is below 0.8 V {value} after a hard reset in the recording {name}; {limit} is allowed"
            + (", and longer in the extended range." if extended else "."),
            source=_EXTENDED if extended else None,
            name=name,
        )
