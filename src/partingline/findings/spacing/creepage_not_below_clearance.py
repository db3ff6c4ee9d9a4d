"""Whether the readings of one barrier are consistent: a path along the surface is never shorter than through air."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, barriers
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="spacing.creepage_not_below_clearance",
    claim="The creepage across the barrier is not below its clearance.",
    source=cite("iec-60664-1-2020", "creepage is never less than the clearance of the same insulation", "M"),
)
def creepage_not_below_clearance(judge: Judge) -> Iterator[Finding]:
    """Silent where either is unknown: the rules on each say so."""
    for barrier in barriers(judge.unit, judge.book):
        creepage = at_lowest(judge.book, "creepage", barrier)
        clearance = at_lowest(judge.book, "clearance", barrier)
        if judge.book.fact(creepage) is not None and judge.book.fact(clearance) is not None:
            yield judge.at_least(
                creepage,
                clearance,
                "At the {barrier} barrier the creepage is {value} and the clearance {limit}.",
                label="clearance",
                next_step="Measure both paths again: the one along the surface cannot be the shorter.",
                barrier=barrier.removeprefix("barrier:"),
            )
