"""The extended power range is entered step by step."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.epr_entry_order",
    claim="The extended range is entered in order: acknowledged, cable asked, succeeded, offers, request.",
    source=cite("usb-pd-r3", "entry of the extended power range", "M"),
)
def epr_entry_order(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "epr_entry_faults"):
        noted = f" ({fact.preferred.note})" if fact.preferred.note else ""
        yield judge.at_most(
            fact.key,
            0.0,
            "{value} steps are out of order where the recording {name} enters the extended power range{noted}.",
            name=name,
            noted=noted,
        )
