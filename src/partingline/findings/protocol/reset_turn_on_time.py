"""After a hard reset VBUS comes back without delay."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.reset_turn_on_time",
    claim="VBUS is back at 4.75 V within 275 ms of its return after a hard reset.",
    source=cite("chromiumos-ec", "tSrcTurnOn", "S2"),
)
def reset_turn_on_time(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "reset_turn_on_time"):
        yield judge.at_most(
            fact.key,
            0.275,
            "VBUS rises from 0.8 V to 4.75 V in {value} after a hard reset in the recording {name}; "
            "{limit} is allowed.",
            name=name,
        )
