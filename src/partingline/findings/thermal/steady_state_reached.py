"""Whether the heat test ran until the temperature was steady, or its end had to be extrapolated."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="thermal.steady_state_reached",
    claim="The heat record is longer than the time until the surface is within 1 K of its end.",
    source=cite("common-practice", "within 1 K of the end of the fitted curve", "P"),
)
def steady_state_reached(judge: Judge) -> Iterator[Finding]:
    """One finding for each heat record."""
    for steady in judge.book.keys("time_to_steady", "unit"):
        yield judge.at_least(
            Key.of("unit", "record_length", **dict(steady.at)),
            steady,
            "The heat record is {value} long; the surface is within 1 K of its end after {limit}.",
            label="time until steady",
            next_step="Record the heat test for longer.",
        )
