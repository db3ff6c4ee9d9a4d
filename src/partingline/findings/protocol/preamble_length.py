"""The source sends the whole preamble."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.preamble_length",
    claim="Each frame of the source begins with 64 alternating bits.",
    source=cite("chromiumos-ec", "64 bits of preamble; that a recording may lose the first edges is from memory", "M"),
)
def preamble_length(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "preamble_length"):
        yield judge.at_least(
            fact.key,
            64.0,
            "The shortest preamble of the source in the recording {name} shows {value} bits; {limit} are sent.",
            name=name,
        )
