"""The device asks for what is offered."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.requests_within_offers",
    claim="Each request asks for an object that is offered, within its limits.",
    source=cite("fuchsia-usb-pd", "6.4.2: position, currents within the object unless a mismatch is told", "S2"),
)
def requests_within_offers(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "invalid_requests"):
        noted = f" ({fact.preferred.note})" if fact.preferred.note else ""
        yield judge.at_most(
            fact.key,
            0.0,
            "The device at the other end asks {value} times for what is not offered in the recording "
            "{name}{noted}; a device does so {limit} times.",
            name=name,
            noted=noted,
        )
