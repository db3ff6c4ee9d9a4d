"""The source grants nothing that it did not offer."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.invalid_requests_refused",
    claim="A request of what is not offered is refused.",
    source=cite("usb-pd-r3", "6.4.2 and 8.2, evaluation of a request", "M"),
)
def invalid_requests_refused(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "granted_invalid_requests"):
        noted = f" ({fact.preferred.note})" if fact.preferred.note else ""
        yield judge.at_most(
            fact.key,
            0.0,
            "The source grants {value} requests of what it does not offer in the recording {name}{noted}.",
            name=name,
            noted=noted,
        )
