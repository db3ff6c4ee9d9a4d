"""Whether the creepage across an insulation barrier is what its insulation asks."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, barriers, said_or
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="spacing.creepage_reinforced",
    claim="The creepage across the barrier is not below the one required.",
    source=cite("iec-60664-1-2020", "Table F.5 (F.4 of 2007); reinforced is twice basic", "S2"),
)
def creepage_reinforced(judge: Judge) -> Iterator[Finding]:
    """One finding for each barrier that is spoken of, or that a listed transformer bridges."""
    for barrier in barriers(judge.unit, judge.book):
        yield judge.at_least(
            at_lowest(judge.book, "creepage", barrier),
            Key.of(barrier, "required_creepage"),
            "The creepage across the {barrier} barrier is {value}; "
            "{insulation} insulation at {working} RMS asks {limit}.",
            label="required creepage",
            next_step="Measure the shortest path along the surface on a photo with a ruler in it.",
            barrier=barrier.removeprefix("barrier:"),
            insulation=said_or(judge.book, Key.of(barrier, "insulation"), "its"),
            working=said_or(judge.book, Key.of(barrier, "working_voltage"), "its voltage"),
        )
