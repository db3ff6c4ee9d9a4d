"""After a hard reset VBUS stays up for a moment, then falls."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.reset_fall_delay",
    claim="VBUS begins to fall 25 to 35 ms after a hard reset.",
    source=cite("zephyr-usbc", "tPSHardReset; order of events from memory", "M"),
)
def reset_fall_delay(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "reset_fall_delay"):
        yield judge.between(
            fact.key,
            0.025,
            0.035,
            "VBUS has fallen by 5 % {value} after a hard reset in the recording {name}; it is to begin "
            "{low} to {high} after it.",
            name=name,
        )
