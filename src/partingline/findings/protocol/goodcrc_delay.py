"""The source acknowledges each message in time."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

_LIMIT = 195e-6
_READING_EDGES = 10e-6
"""What reading the two edges from a recording may cost."""


@rule(
    id="protocol.goodcrc_delay",
    claim="The source begins each acknowledgement within 195 µs of the message.",
    source=cite("usb-pd-r3", "tTransmit", "M"),
)
def goodcrc_delay(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "goodcrc_delay"):
        yield judge.at_most(
            fact.key,
            _LIMIT + _READING_EDGES,
            "The slowest acknowledgement in the recording {name} begins after {value}; {nominal} is allowed, "
            "and {limit} with the error of reading the recording.",
            label="195 µs + 10 µs",
            name=name,
            nominal=(_LIMIT, "goodcrc_delay"),
        )
