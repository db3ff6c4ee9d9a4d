"""Whether a part that bridges the barrier keeps the creepage that the barrier needs."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

BRIDGING = ("transformer", "feedback_isolator", "y_capacitor")


@rule(
    id="spacing.part_creepage",
    claim="The creepage of each part across the barrier is not below the one required.",
    source=cite("iec-60664-1-2020", "Table F.5 (F.4 of 2007); reinforced is twice basic", "S2"),
)
def part_creepage(judge: Judge) -> Iterator[Finding]:
    """One finding for each transformer, isolator or Y capacitor whose creepage was read or measured."""
    for part in judge.unit.parts:
        key = Key.of(part.subject, "creepage")
        if part.role in BRIDGING and part.stage != "input" and judge.book.fact(key) is not None:
            yield judge.at_least(
                key,
                Key.of("barrier:main", "required_creepage"),
                "The creepage at {ref} is {value}; the barrier that it bridges asks {limit}.",
                label="required creepage",
                next_step="Measure the working voltage across the barrier.",
                ref=part.ref,
            )
