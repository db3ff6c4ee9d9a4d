"""The source acknowledges every message."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.messages_acknowledged",
    claim="Every message that the source hears whole is acknowledged.",
    source=cite("usb-pd-r3", "6.6, GoodCRC of every message", "M"),
)
def messages_acknowledged(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "unacknowledged_messages"):
        noted = f" ({fact.preferred.note})" if fact.preferred.note else ""
        yield judge.at_most(
            fact.key,
            0.0,
            "The source leaves {value} messages of the recording {name} without GoodCRC{noted}; {limit} may be left.",
            name=name,
            noted=noted,
        )
