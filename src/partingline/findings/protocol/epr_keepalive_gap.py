"""A device in the extended power range keeps saying that it is there."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.epr_keepalive_gap",
    claim="In the extended power range the device is never silent for more than 0.5 s.",
    source=cite("chromiumos-ec", "tSinkEPRKeepAlive, 250 to 500 ms", "S2"),
)
def epr_keepalive_gap(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "epr_keepalive_gap"):
        yield judge.at_most(
            fact.key,
            0.5,
            "The longest silence of the device in the extended power range is {value} in the recording "
            "{name}; {limit} is allowed.",
            name=name,
        )
