"""A device that is told to wait does not ask again at once."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.request_after_wait",
    claim="After Wait the device asks again no sooner than 100 ms later.",
    source=cite("zephyr-usbc", "tSinkRequest", "S2"),
)
def request_after_wait(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "request_wait"):
        yield judge.at_least(
            fact.key,
            0.1,
            "The device asks again {value} after a Wait in the recording {name}; {limit} is to pass.",
            name=name,
        )
