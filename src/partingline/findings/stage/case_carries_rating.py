"""Whether the case can give off the heat of the rated power without end."""

from collections.abc import Iterator
from typing import Any

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="stage.case_carries_rating",
    claim="The case gives off the heat of the rated power at 25 °C without its hottest face passing the touch limit.",
    source=cite("common-practice", "natural convection and radiation, or the measured rise; touch limit TS1", "P"),
)
def case_carries_rating(judge: Judge) -> Iterator[Finding]:
    """Silent where the rated power is unknown, and on a cable, which converts nothing."""
    rated = Key.of("unit", "output_power")
    if judge.book.fact(rated) is None or judge.unit.kind.casefold() == "cable":
        return
    at_25, at_40 = (Key.of("unit", "sustained_power", state=f"{t} °C ambient") for t in (25, 40))
    warm: dict[str, Any] = {"warm": at_40} if judge.book.fact(at_40) is not None else {}
    yield judge.at_least(
        at_25,
        rated,
        "The case can carry {value} without end at 25 °C"
        + (" and {warm} at 40 °C" if warm else "")
        + "; the rating is {limit}.",
        label="rated power",
        next_step="Measure the case, and log its temperature at full load until it is steady.",
        **warm,
    )
