"""Whether the fuse can break the current that a socket outlet may drive into a short circuit."""

from collections.abc import Iterator

from partingline.calc.ratings import fuse_breaking_capacity as breaking_capacity
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.fuse_breaking_capacity",
    claim="The fuse has a high breaking capacity.",
    source=cite("iec-60127", "breaking capacity H", "M"),
    mains=True,
)
def fuse_breaking_capacity(judge: Judge) -> Iterator[Finding]:
    """One finding for each fuse; the prospective current of the outlet is unknown, hence indicative."""
    high = float(breaking_capacity(letter="H", rated_current=0.0))
    for part in judge.unit.having("fuse"):
        if part.kind != "fusible resistor":
            yield judge.at_least(
                Key.of(part.subject, "breaking_capacity"),
                high,
                "Fuse {ref} breaks {value}; a fuse of high breaking capacity (letter H) breaks {limit}, "
                "and a short circuit close to the outlet can reach that order.",
                label="letter H",
                next_step="Read the letter between current and voltage on the fuse: L, E or H.",
                ref=part.ref,
            )
