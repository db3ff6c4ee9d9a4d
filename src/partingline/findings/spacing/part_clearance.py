"""Whether a part that bridges the barrier keeps the clearance that the barrier needs."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

BRIDGING = ("transformer", "feedback_isolator", "y_capacitor")


@rule(
    id="spacing.part_clearance",
    claim="The clearance of each part across the barrier is not below the one required.",
    source=cite("iec-60664-1-2020", "5.2.5 with Tables F.1, F.2 and A.2: next impulse step for reinforced", "M"),
)
def part_clearance(judge: Judge) -> Iterator[Finding]:
    """One finding for each transformer, isolator or Y capacitor whose clearance was read or measured."""
    for part in judge.unit.parts:
        key = Key.of(part.subject, "clearance")
        if part.role in BRIDGING and part.stage != "input" and judge.book.fact(key) is not None:
            yield judge.at_least(
                key,
                Key.of("barrier:main", "required_clearance"),
                "The clearance at {ref} is {value}; the barrier that it bridges asks {limit}.",
                label="required clearance",
                next_step="Measure the working voltage across the barrier.",
                ref=part.ref,
            )
