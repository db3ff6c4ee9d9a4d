"""A device renews its request of a programmable supply."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.pps_request_gap",
    claim="In a programmable contract the device asks again within 10 s.",
    source=cite("onsemi-fusb302", "firmware, tPPSRequest", "S2"),
)
def pps_request_gap(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "pps_request_gap"):
        yield judge.at_most(
            fact.key,
            10.0,
            "The longest time between two requests of a programmable supply in the recording {name} is "
            "{value}; a device is to ask again within {limit}.",
            name=name,
        )
