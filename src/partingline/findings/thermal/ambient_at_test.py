"""Whether the heat test was run near the ambient at which the touch limit is defined, so that little is re-scaled."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import estimate
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="thermal.ambient_at_test",
    claim="The heat test was run between 20 and 30 °C, near the 25 °C of the touch limit.",
    source=cite("common-practice", "25 °C and 5 K either way", "P"),
)
def ambient_at_test(judge: Judge) -> Iterator[Finding]:
    """Speaks where a surface temperature was measured."""
    if not judge.book.find("surface_temperature"):
        return
    read = [key for key in judge.book.keys("ambient_temperature") if estimate(judge.book, key) is not None]
    ambient = Key.of("unit", "ambient_temperature")
    yield judge.between(
        ambient if ambient in read or not read else read[0],
        20.0,
        30.0,
        "The ambient of the heat test was {value}; a test between {low} and {high} is referred to 25 °C by its rise.",
        label="near 25 °C",
        next_step="Log the ambient beside the surface: a thermocouple in still air, half a metre away.",
    )
