"""The source answers a request before the device gives up."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.request_answer_delay",
    claim="The source answers each request within 24 ms.",
    source=cite("zephyr-usbc", "tSenderResponse, 24 ms at least up to revision 3.1", "S2"),
)
def request_answer_delay(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "request_answer_delay"):
        yield judge.at_most(
            fact.key,
            0.024,
            "The slowest answer to a request in the recording {name} takes {value}; a device waits {limit} at least.",
            name=name,
        )
