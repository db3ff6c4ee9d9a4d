"""The low level of the source stays near ground; below its own ground it cannot go, so that a reading below zero is
the recorder's."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.signal_low",
    claim="The low level of the source lies at 75 mV at most.",
    source=cite("onsemi-fusb302", "table 9; up to 250 mV between the grounds, from memory", "M"),
)
def signal_low(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "signal_low"):
        yield judge.at_most(
            fact.key,
            0.075,
            "The low level of the source lies at {value} in the recording {name}, the ground between it "
            "and the recorder included; up to {limit} is allowed at the sender.",
            name=name,
        )
