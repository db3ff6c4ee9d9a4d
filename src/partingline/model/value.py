"""Values with their uncertainty, kept as named components so that what is shared stays shared."""

import math
from dataclasses import dataclass
from enum import StrEnum


class Shape(StrEnum):
    """The distribution of an uncertainty component (JCGM 100:2008, 4.3)."""

    NORMAL = "normal"
    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"
    ARCSINE = "arcsine"


_DIVISOR = {
    Shape.NORMAL: 1.0,
    Shape.RECTANGULAR: math.sqrt(3),
    Shape.TRIANGULAR: math.sqrt(6),
    Shape.ARCSINE: math.sqrt(2),
}


@dataclass(frozen=True, slots=True)
class Component:
    """One cause of uncertainty.

    `cause` names it: two statements with the same cause share their draws, so that a ratio of two readings of one
    meter knows it. `width` is the half-width (for NORMAL: the standard uncertainty) in the unit of the value; its
    sign says in which direction the cause moves this value.
    """

    cause: str
    width: float
    shape: Shape = Shape.NORMAL

    @property
    def u(self) -> float:
        """Standard uncertainty (JCGM 100:2008, 4.3.7 and 4.3.9)."""
        return abs(self.width) / _DIVISOR[self.shape]


@dataclass(frozen=True, slots=True)
class Number:
    """A value in SI units with its uncertainty components."""

    value: float
    components: tuple[Component, ...] = ()

    @property
    def u(self) -> float:
        """Combined standard uncertainty of independent causes (JCGM 100:2008, eq. 10)."""
        by_cause: dict[str, list[Component]] = {}
        for component in self.components:
            by_cause.setdefault(component.cause, []).append(component)
        return math.sqrt(sum(_same_cause_variance(group) for group in by_cause.values()))


def _same_cause_variance(group: list[Component]) -> float:
    signed = sum(math.copysign(component.u, component.width) for component in group)
    return signed * signed


@dataclass(frozen=True, slots=True)
class Interval:
    """A closed interval in SI units."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Text:
    """Something said in words: a class letter, a connector, a yes."""

    text: str


Value = Number | Interval | Text
