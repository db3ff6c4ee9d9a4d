"""Whether a number as it was said is the right one: within its own last place and the fact's uncertainty."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from partingline.facts.spoken.candidates import Candidate, Right
from partingline.model import Interval, Route, Sense
from partingline.readers.words import Figure, Reading

_MOST_THOUSANDS = 12
_EXACT = 1e-6
_ROUNDED = 0.06
"""The most that rounding may change a number: 2.52 A is no '3 amps'. Common practice, no source."""
_ROUNDED_MARKED = 0.03
"""The same for what is marked or rated: a 3.15 A fuse is no '3 amp' one. Common practice, no source."""
_LOOSE = 0.04
"""The share that 'about' allows. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Fit:
    """How one reading fits one candidate: `kind` is agrees, thousands, tens, near, far; `off` the share."""

    kind: str
    off: float
    right: Right
    reading: Reading

    @property
    def agrees(self) -> bool:
        """Whether the words are right."""
        return self.kind == "agrees"


def fit(figure: Figure, candidate: Candidate, routes: frozenset[Route]) -> Fit | None:
    """The best fit of any reading of a figure with any number of a fact; None where the fact has none."""
    rights = list(candidate.rights)
    if routes & {right.statement.route for right in candidate.claims}:
        rights += [right for right in candidate.claims if right.statement.route in routes]
    fits = [one for reading in figure.readings for one in _fits(figure, reading, candidate, rights)]
    return min(fits, key=lambda one: (not one.agrees, one.off), default=None)


def _fits(figure: Figure, reading: Reading, candidate: Candidate, rights: Iterable[Right]) -> list[Fit]:
    rights = list(rights)
    if reading.high is not None:
        return _range(figure, reading, candidate, rights)
    return [_fit(figure, reading, right) for right in rights]


def _range(figure: Figure, reading: Reading, candidate: Candidate, rights: list[Right]) -> list[Fit]:
    if candidate.interval is None or reading.high is None or not rights:
        return []
    ends: Interval = candidate.interval
    low = _fit(figure, Reading(reading.value, reading.half), Right(ends.low, 0.0, rights[0].statement))
    high = _fit(figure, Reading(reading.high, reading.half), Right(ends.high, 0.0, rights[-1].statement))
    if low.agrees and high.agrees:
        return [Fit("agrees", 0.0, rights[0], reading)]
    worse = low if not low.agrees else high
    return [Fit(worse.kind, max(low.off, high.off), worse.right, reading)]


def _fit(figure: Figure, reading: Reading, right: Right) -> Fit:
    said, meant = reading.value, right.value
    room = reading.half * (1.0 + _EXACT) + right.half
    if figure.about:
        room = max(room, _LOOSE * abs(meant))
    off = abs(said - meant) / abs(meant) if meant else abs(said - meant)
    if abs(said - meant) <= room + _EXACT * abs(meant) and off <= _most(figure, right):
        return Fit("agrees", off, right, reading)
    ratio = said / meant if meant else math.inf
    own = max(reading.half / abs(said) if said else 1.0, 1e-4) + (right.half / abs(meant) if meant else 0.0)
    power = round(math.log10(ratio)) if 0.0 < ratio < math.inf else 0
    if power and abs(ratio / 10.0**power - 1.0) <= min(own, 0.06):
        if power % 3 == 0 and abs(power) <= _MOST_THOUSANDS:
            return Fit("thousands", off, right, reading)
        if abs(power) <= 2:
            return Fit("tens", off, right, reading)
    close = 0.75 <= ratio <= 1.33 or _transposed(figure, said, meant)
    return Fit("near" if close else "far", off, right, reading)


def _most(figure: Figure, right: Right) -> float:
    """The share by which rounding may change a number."""
    if figure.about:
        return 2 * _ROUNDED
    return _ROUNDED if right.statement.sense in (Sense.EQUALS, Sense.WITHIN) else _ROUNDED_MARKED


def _transposed(figure: Figure, said: float, meant: float) -> bool:
    """`28` for 82: the digits in another order."""
    own = sorted(f"{(said - figure.offset) / figure.shown:g}")
    return len(own) > 1 and own == sorted(f"{(meant - figure.offset) / figure.shown:.4g}")


def digits_match(figure: Figure, candidate: Candidate, scales: Iterable[float]) -> Right | None:
    """The fact's number that has the digits that were said, whatever the unit: `5 millivolts` for 5 mΩ."""
    for reading in figure.readings:
        number = (reading.value - figure.offset) / figure.shown
        half = reading.half / figure.shown
        for right in candidate.rights:
            for scale in scales:
                shown = right.value * scale
                if (
                    number
                    and shown
                    and abs(number - shown) <= max(half, 1e-6 * abs(shown))
                    and abs(number / shown - 1) < _ROUNDED_MARKED
                ):
                    return right
    return None
