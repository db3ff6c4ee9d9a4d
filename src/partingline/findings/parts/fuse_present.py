"""Whether a fuse or fusible resistor protects the mains input."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="parts.fuse_present",
    claim="A fuse or fusible resistor stands in the mains input.",
    source=cite("common-practice", mark="P"),
    mains=True,
)
def fuse_present(judge: Judge) -> Iterator[Finding]:
    """Speaks where the part list reaches into the input stage."""
    fuses = judge.unit.having("fuse")
    for part in fuses:
        yield judge.decided(True, "{ref} protects the mains input.", subject=part.subject, ref=part.ref)
    if not fuses and (judge.unit.having("bridge") or judge.unit.having("bulk_capacitor")):
        yield judge.decided(
            False,
            "No fuse or fusible resistor is listed at the mains input.",
            subject="stage:input",
            next_step="Follow the track from the line pin to the bridge and list the fuse on it.",
        )
