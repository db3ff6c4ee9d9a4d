"""The signal of the source has the swing of the standard."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.signal_swing",
    claim="The signal of the source swings by 1.05 to 1.20 V.",
    source=cite("ti-usb-pd", "vSwing", "S2"),
)
def signal_swing(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "signal_swing"):
        yield judge.between(
            fact.key,
            1.05,
            1.2,
            "The signal of the source swings by {value} in the recording {name}; {low} to {high} is allowed.",
            next_step="Measure the swing at the plug with a probe whose gain was checked.",
            name=name,
        )
