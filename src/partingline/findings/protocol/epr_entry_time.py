"""The extended power range is entered without delay."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.epr_entry_time",
    claim="The extended power range is entered within 550 ms.",
    source=cite("chromiumos-ec", "tEnterEPR, 450 to 550 ms", "S2"),
)
def epr_entry_time(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "epr_entry_time"):
        yield judge.at_most(
            fact.key,
            0.55,
            "Entering the extended power range takes {value} in the recording {name}; a device waits "
            "{limit} at most, some only 450 ms.",
            name=name,
        )
