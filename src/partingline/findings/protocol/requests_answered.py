"""The source answers every request."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.requests_answered",
    claim="Every request is accepted, rejected or told to wait.",
    source=cite("usb-pd-r3", "8.3, Accept, Reject or Wait to every request", "M"),
)
def requests_answered(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "unanswered_requests"):
        noted = f" ({fact.preferred.note})" if fact.preferred.note else ""
        yield judge.at_most(
            fact.key,
            0.0,
            "The source leaves {value} requests of the recording {name} without an answer{noted}.",
            name=name,
            noted=noted,
        )
