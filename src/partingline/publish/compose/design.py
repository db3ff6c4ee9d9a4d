"""The design read backwards: what the readings outside tell of the converter, before and after, and what would help."""

from collections.abc import Iterator

import numpy as np

from partingline.facts import Book
from partingline.facts.derivations.design import UNKNOWN, Design
from partingline.facts.derivations.stage_inference import KEYS
from partingline.facts.draws import Array
from partingline.facts.show import show_value
from partingline.model import Key, Number, Route, Unit
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import (
    Align,
    Block,
    Column,
    Drawing,
    Figure,
    Items,
    Paragraph,
    Section,
    Span,
    Table,
    TableCell,
    TableGroup,
    TableRow,
    plain,
)
from partingline.publish.figures.ridges import Ridge, ridges
from partingline.sources import quantities

PROBABILITY = 0.9
MOST_GAINS, LEAST_BITS = 3, 0.05
_BITS = float(np.log(2))


def design(unit: Unit, book: Book, ledger: Ledger) -> Section | None:
    """Table and densities of the unknowns; None where nothing was read backwards."""
    found = list(_inferred(unit, book))
    if not found:
        return None
    columns = (Column("unknown"), *(Column(head, Align.RIGHT) for head in
               ("before, 90 %", "after, 90 %", "read", "spread left")))  # fmt: skip
    rows = tuple(_row(key, one, name, book, ledger) for key, name, one in found)
    told = found[0][2]
    caption = (
        f"From {told.readings} readings at the terminals and the drain. Intervals hold 90 %. Each is inferred without "
        "what was read of it."
    )
    blocks: list[Block] = [Table(columns, (TableGroup("", rows),), caption)]
    drawn = [_ridge(key, name, one, book) for key, name, one in found]
    alt = "; ".join(f"{row.name}: {row.said}" for row in drawn)
    words = "Densities before and after the readings, over the median after."
    blocks.append(Figure("figure-design", "Unknowns of the design", Drawing(ridges(drawn)), plain(words), alt))
    blocks += _next(found)
    return Section("design", "The design read backwards", tuple(blocks), "what the readings tell of what is inside")


def _inferred(unit: Unit, book: Book) -> Iterator[tuple[Key, str, Design]]:
    for part in unit.having("transformer"):
        for name in UNKNOWN:
            key = Key.of("stage:primary" if name == "drain_capacitance" else part.subject, KEYS[name])
            one = book.record(key, Design)
            if one is not None:
                yield key, name, one


def _row(key: Key, one: Design, name: str, book: Book, ledger: Ledger) -> TableRow:
    before, after = one.priors[name], getattr(one, name)
    left = float(np.log(after[1:]).std() / np.log(before[1:]).std())
    read = _read(key, book)
    shown = show_value(read[0], key.quantity, read[1]) if read else "not read"
    return TableRow(
        (
            TableCell((Span(_named(key), ledger.ref(key)),)),
            TableCell(plain(_interval(before, key.quantity))),
            TableCell(plain(_interval(after, key.quantity))),
            TableCell(plain(shown)),
            TableCell(plain(f"{left * 100:.0f} %")),
        )
    )


def _ridge(key: Key, name: str, one: Design, book: Book) -> Ridge:
    after = np.asarray(getattr(one, name))
    read = _read(key, book)
    return Ridge(
        _named(key), one.priors[name][1:], after[1:], _interval(after, key.quantity), read[0] if read else None
    )


def _next(found: list[tuple[Key, str, Design]]) -> Iterator[Block]:
    """The best further readings for what nobody read."""
    gains = [gain for gain in found[-1][2].gains[:MOST_GAINS] if gain.information > LEAST_BITS * _BITS]
    if gains:
        yield Paragraph(plain("One more reading that would tell most, the best first:"))
        yield Items(
            tuple(
                plain(
                    f"{gain.name} ({gain.information / _BITS:.1f} bit; {gain.narrows.replace('_', ' ')} to "
                    f"{gain.left[gain.narrows] * 100:.0f} % of its spread)"
                )
                for gain in gains
            ),
            ordered=True,
        )


def _read(key: Key, book: Book) -> tuple[float, float] | None:
    fact = book.fact(key)
    told = (
        [s.value for s in fact.statements if s.route not in (Route.COMPUTED, Route.ASSUMED, Route.SPOKEN)]
        if fact
        else []
    )
    return next(((value.value, value.u) for value in told if isinstance(value, Number)), None)


def _interval(draws: Array, quantity: str) -> str:
    low, high = np.quantile(draws[1:], [(1 - PROBABILITY) / 2, (1 + PROBABILITY) / 2])
    return f"{show_value(_two(low), quantity)} … {show_value(_two(high), quantity)}"


def _two(value: float) -> float:
    """Three significant digits at most: the ends of an interval of draws are no sharper."""
    return float(f"{value:.3g}")


def _named(key: Key) -> str:
    return quantities()[key.quantity].name
