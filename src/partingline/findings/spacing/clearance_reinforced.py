"""Whether the clearance across an insulation barrier is what its insulation asks."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, barriers, said_or
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="spacing.clearance_reinforced",
    claim="The clearance across the barrier is not below the one required.",
    source=cite("iec-60664-1-2020", "5.2.5 with Tables F.1, F.2 and A.2: next impulse step for reinforced", "M"),
)
def clearance_reinforced(judge: Judge) -> Iterator[Finding]:
    """One finding for each barrier that is spoken of, or that a listed transformer bridges."""
    for barrier in barriers(judge.unit, judge.book):
        yield judge.at_least(
            at_lowest(judge.book, "clearance", barrier),
            Key.of(barrier, "required_clearance"),
            "The clearance across the {barrier} barrier is {value}; "
            "{insulation} insulation on {mains} mains asks {limit}.",
            label="required clearance",
            next_step="Measure the shortest path through air on a photo with a ruler in it, or with feeler gauges.",
            barrier=barrier.removeprefix("barrier:"),
            insulation=said_or(judge.book, Key.of(barrier, "insulation"), "its"),
            mains=said_or(judge.book, Key.of("stage:input", "nominal_mains"), "its"),
        )
