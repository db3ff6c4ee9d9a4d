"""Numbers whose unit was said before: `42 mm long and 40 wide`, `92 percent at 230 volts, and 91 at 115 volts`."""

from collections.abc import Sequence
from dataclasses import replace

from partingline.facts.spoken.context import Surroundings
from partingline.facts.spoken.types import Spoken
from partingline.readers.words import Figure
from partingline.sources import quantities

_REACH, _BESIDE, _SMALL = 16, 1, 10


def with_unit(figure: Figure, around: Surroundings, spoken: Sequence[Spoken]) -> Figure | None:
    """A bare number with the unit of the figure before it, where it goes on with another quantity or condition."""
    before = next((one for one in reversed(spoken) if one.fact is not None), None)
    if before is None or before.fact is None or not before.figure.unit:
        return None
    if names_something(figure, around) or _in_code(figure, around):
        return None
    gap = figure.first - before.figure.last
    reading = figure.readings[0]
    if not 0 <= gap <= _REACH or (reading.value.is_integer() and reading.value < _SMALL):
        return None
    if not (_another_quantity(figure, before.figure.unit, around) or _another_condition(before, figure, around)):
        return None
    factor, offset = before.figure.shown, before.figure.offset
    readings = tuple(replace(r, value=r.value * factor + offset, half=r.half * factor) for r in figure.readings)
    return replace(figure, kind="quantity", unit=before.figure.unit, shown=factor, offset=offset, readings=readings)


def names_something(figure: Figure, around: Surroundings) -> bool:
    """`two output capacitors`: the number counts what follows."""
    return figure.readings[0].value.is_integer() and any(
        figure.last <= m.first <= figure.last + 1 and m.role for m in around.mentions
    )


def _in_code(figure: Figure, around: Surroundings) -> bool:
    """`d v seven five six v`: a letter beside the number."""
    beside = [around.tokens[n].low for n in (figure.first - 1, figure.last) if 0 <= n < len(around.tokens)]
    return any(len(low) == 1 and low.isalpha() and low != "a" for low in beside)


def _another_quantity(figure: Figure, unit: str, around: Surroundings) -> bool:
    """A quantity of the same unit stands right before or right behind: `width 40`, `40 wide`, `40 of clearance`."""
    beside = [
        m
        for m in around.mentions
        if 0 <= figure.first - m.last <= _BESIDE or figure.last <= m.first <= figure.last + _BESIDE
    ]
    return any(_si(quantities()[q].unit) == unit for m in beside for q in m.quantities)


def _si(unit: str) -> str:
    return {"bit/s": "Hz"}.get(unit, unit)


def _another_condition(before: Spoken, figure: Figure, around: Surroundings) -> bool:
    """A condition was told between the figure before and this one, and the fact before hangs on one."""
    at = before.fact.key.at if before.fact else ()
    between = [name for place, name, _ in around.conditions if before.figure.last <= place < figure.first]
    return any(name in dict(at) for name in between)
