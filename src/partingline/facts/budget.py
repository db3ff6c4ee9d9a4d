"""Uncertainty budgets: which cause moves a fact by how much, and which one dominates.

Source: JCGM 100:2008, 4.1.4, 5.1.3 (contributions c u) and JCGM 101:2008 (the causes' draws pushed through the model).
Of a reading the causes are its own components; of a computed fact they are found by their draws: the slope of the
result over a cause is the sensitivity times the cause's standard uncertainty.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from partingline.facts.book import Book
from partingline.facts.draws import standard_uncertainty
from partingline.model import Component, Fact, Key, Number, Shape

NOTABLE = 1e-4
"""Shares below this are summed up as `the rest`."""


@dataclass(frozen=True, slots=True)
class Line:
    """One cause. `moves` are the readings that it moves, `u` its standard uncertainty in them (the root mean square
    where there are several), `sensitivity` the change of the result for a unit change of those readings together, and
    `contribution` their product; `share` is that of the variance. Units: those of the quantities, SI."""

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
    for leaf in _leaves(book, fact):
        for component in _components(leaf):
            causes.setdefault((component.cause, component.shape), []).append((leaf.key, component))
    drawn = book.draws(key)
    spread = drawn[1:] - drawn[1:].mean()
    variance = standard_uncertainty(drawn) ** 2
    lines = []
    for (cause, shape), moved in causes.items():
        unit = book.draws_of.unit(cause, shape)[1:]
        slope = float(spread @ unit / (unit @ unit))
        contribution = slope * float(unit.std())
        u = math.sqrt(sum(component.u**2 for _, component in moved) / len(moved))
        sensitivity = contribution / u if u else 0.0
        moves = tuple(dict.fromkeys(key for key, _ in moved))
        share = contribution**2 / variance if variance else 0.0
        lines.append(Line(cause, moves, u, shape, sensitivity, contribution, share))
    lines.sort(key=lambda line: -line.share)
    # Draws of independent causes correlate by chance: shares below that are no finding.
    noise = max(NOTABLE, 3 / book.draws_of.count)
    shown = tuple(line for line in lines if line.share >= noise)
    return Budget(key, fact.value, math.sqrt(variance), shown, max(0.0, 1 - sum(line.share for line in shown)))


def _leaves(book: Book, fact: Fact) -> Iterator[Fact]:
    """The facts that were read, not computed, behind a fact; each once."""
    seen: set[Key] = set()
    open_ = [fact]
    while open_:
        one = open_.pop()
        if one.key in seen:
            continue
        seen.add(one.key)
        inputs = [known for key in one.inputs if (known := book.fact(key)) is not None]
        if not inputs:
            yield one
        open_ += inputs


def _components(fact: Fact) -> tuple[Component, ...]:
    value = fact.preferred.value
    return tuple(c for c in value.components if c.width) if isinstance(value, Number) else ()
