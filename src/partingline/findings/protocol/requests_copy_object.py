"""A request in the extended range carries the object that it asks for."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.requests_copy_object",
    claim="The second object of each EPR_Request is the offered object that it asks for.",
    source=cite("st-usbpd", "EPR_Request: RDO and an exact copy of the requested PDO; the ChromiumOS EC agrees", "S2"),
)
def requests_copy_object(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "wrong_object_copies"):
        noted = f" ({fact.preferred.note})" if fact.preferred.note else ""
        yield judge.at_most(
            fact.key,
            0.0,
            "The device at the other end copies {value} times another object than the one offered in the recording "
            "{name}{noted}; a device does so {limit} times.",
            name=name,
            noted=noted,
        )
