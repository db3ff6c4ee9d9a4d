"""Uncertainty budgets: which cause moves a fact by how much, and which one dominates.

Source: JCGM 100:2008, 4.1.4, 5.1.3 (contributions c u) and JCGM 101:2008 (the causes' draws pushed through the model).
Of a reading the causes are its own components; of a computed fact they are found by their draws: the slope of the
result over a cause, in a regression over all causes, is the sensitivity times the cause's standard uncertainty.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from partingline.facts.book import Book
from partingline.facts.draws import least_squares, standard_uncertainty
from partingline.model import Component, Fact, Key, Number, Shape
from partingline.sources import quantities

NOTABLE = 1e-4
"""Shares below this are summed up as `the rest`."""


@dataclass(frozen=True, slots=True)
class Line:
    """One cause. `moves` are the readings that it moves, `u` its standard uncertainty in them (the root mean square
    where there are several), `sensitivity` the change of the result for a unit change of those readings together, and
    `contribution` their product; `share` is that of the variance. A cause that a calculation adds moves its result, by
    the contribution. Units: those of the quantities, SI."""

    cause: str
    moves: tuple[Key, ...]
    u: float
    shape: Shape
    sensitivity: float
    contribution: float
    share: float


@dataclass(frozen=True, slots=True)
class Budget:
    """All causes of a fact, the largest first; `rest` is the share of those left out."""

    key: Key
    value: float
    u: float
    lines: tuple[Line, ...]
    rest: float

    @property
    def dominant(self) -> Line | None:
        """The cause with the largest share."""
        return self.lines[0] if self.lines else None


def budget(book: Book, key: Key) -> Budget | None:
    """The budget of a numeric fact; None where it is unknown, text, an interval, or exact."""
    fact = book.fact(key)
    if fact is None or not isinstance(fact.preferred.value, Number) or not fact.u:
        return None
    causes: dict[tuple[str, Shape], list[tuple[Key, Component]]] = {}
    for one in _behind(book, fact):
        for component in _components(one):
            causes.setdefault((component.cause, component.shape), []).append((one.key, component))
    lines = _lines(book, key, causes)
    left = math.fsum(line.share for line in lines)
    shown = tuple(line for line in lines if line.share >= NOTABLE)
    rest = max(0.0, 1 - left) + math.fsum(line.share for line in lines if line.share < NOTABLE)
    return Budget(key, fact.value, standard_uncertainty(book.draws(key)), shown, rest)


def cause_text(line: Line) -> str:
    """A cause in words: `PA1: input power, gain`; of one reading alone `drift, 25 % load`."""
    for key in line.moves:
        if line.cause.startswith(f"{key.id}/"):
            name = line.cause.removeprefix(f"{key.id}/").partition(":")[0]
            load = key.condition("load")
            return f"{name}, {load * 100:g} % load" if isinstance(load, float) else name
    if "@" in line.cause:
        head, _, name = line.cause.rpartition("/")
        load = Key.parse(head).condition("load")
        return f"{name}, {load * 100:g} % load" if isinstance(load, float) else name
    instrument, _, rest = line.cause.partition("/")
    quantity, _, kind = rest.partition("/")
    known = quantities().get(quantity)
    return f"{instrument}: {known.name}, {kind}" if known and kind else line.cause


def _lines(book: Book, key: Key, causes: Mapping[tuple[str, Shape], list[tuple[Key, Component]]]) -> list[Line]:
    """One line a cause, from the regression of the result's draws over all causes at once: causes whose draws
    correlate by chance do not count twice."""
    drawn = book.draws(key)
    units = np.stack([book.draws_of.unit(cause, shape)[1:] for cause, shape in causes])
    units = units - units.mean(axis=1, keepdims=True)
    spread = drawn[1:] - drawn[1:].mean()
    slopes = least_squares(units, spread)
    contributions = slopes * units.std(axis=1)
    whole = float((contributions**2).sum() + (spread - slopes @ units).var())
    lines = []
    for ((cause, shape), moved), contribution in zip(causes.items(), contributions.tolist(), strict=True):
        u = math.sqrt(sum(component.u**2 for _, component in moved) / len(moved))
        u = abs(contribution) if math.isnan(u) else u
        moves = tuple(dict.fromkeys(key for key, _ in moved))
        share = contribution**2 / whole if whole else 0.0
        lines.append(Line(cause, moves, u, shape, contribution / u if u else 0.0, contribution, share))
    return sorted(lines, key=lambda line: -line.share)


def _behind(book: Book, fact: Fact) -> Iterator[Fact]:
    """A fact and all behind it, each once."""
    seen: set[Key] = set()
    open_ = [fact]
    while open_:
        one = open_.pop()
        if one.key in seen:
            continue
        seen.add(one.key)
        yield one
        open_ += [known for key in one.inputs if (known := book.fact(key)) is not None]


def _components(fact: Fact) -> tuple[Component, ...]:
    """The causes that a fact brings in: all of a reading, and those that a calculation adds, their width not told."""
    if fact.inputs:
        return tuple(Component(cause, math.nan) for cause in (fact.preferred.basis.own if fact.preferred.basis else ()))
    value = fact.preferred.value
    return tuple(c for c in value.components if c.width) if isinstance(value, Number) else ()
