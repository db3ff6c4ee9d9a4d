"""Every frame of a recording can be read and has a right checksum."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.damaged_frames",
    claim="No frame of the recording is damaged.",
    source=cite("common-practice", "the wire or the recording may be at fault", "P"),
)
def damaged_frames(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "damaged_frames"):
        yield judge.at_most(
            fact.key,
            0.0,
            "{value} damaged frames in the recording {name}; a sound one has none.",
            next_step="Look at the damaged frames: noise of the probe, a clipped start, or the unit itself.",
            name=name,
        )
