"""The symbols that open each frame are all four right."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.ordered_sets_whole",
    claim="Each frame of the source opens with all four symbols of its ordered set right.",
    source=cite("common-practice", "a receiver accepts three of four; wire or recording may be at fault", "P"),
)
def ordered_sets_whole(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "degraded_ordered_sets"):
        noted = f" ({fact.preferred.note})" if fact.preferred.note else ""
        yield judge.at_most(
            fact.key,
            0.0,
            "In the recording {name}, {value} frames of the source open with one symbol of four "
            "wrong{noted}; a receiver still accepts them.",
            next_step="Look at the beginning of these frames: noise of the probe, a clipped start, or the unit itself.",
            name=name,
            noted=noted,
        )
