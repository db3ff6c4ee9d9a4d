"""After a hard reset VBUS stays off long enough for every device to notice."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

_LIMITS, _EXTENDED_LIMITS = (0.660, 1.000), (1.085, 1.425)
_EXTENDED = cite("usb-pd-r3", "tSrcRecover in the extended range", "M")


@rule(
    id="protocol.reset_off_time",
    claim="VBUS returns 660 to 1000 ms after a hard reset.",
    source=cite("chromiumos-ec", "tSrcRecover", "S2"),
)
def reset_off_time(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "reset_off_time"):
        extended = fact.key.condition("range") == "extended"
        low, high = _EXTENDED_LIMITS if extended else _LIMITS
        yield judge.between(
            fact.key,
            low,
            high,
            "VBUS leaves 0.8 V {value} after a hard reset in the recording {name}; {low} to {high} is right.",
            source=_EXTENDED if extended else None,
            name=name,
        )
