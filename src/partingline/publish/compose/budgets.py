"""Uncertainty budgets of the facts that verdicts rest on: causes, sensitivities, shares, the dominant one named."""

from collections.abc import Sequence

from partingline.facts import Book
from partingline.facts.budget import Budget, Line, budget, cause_text
from partingline.facts.show import key_text, show_fact
from partingline.model import Finding, Key, Verdict
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import Align, Column, Section, Table, TableCell, TableGroup, TableRow, plain
from partingline.sources import quantities

SHOWN = ("average_efficiency", "no_load_power", "efficiency", "surface_temperature_at_25", "delivered_energy")
"""Quantities whose verdicts hang on the meters."""
MOST_LINES, MOST_FACTS = 5, 8
NOTABLE = 0.01


def budgets(findings: Sequence[Finding], book: Book, ledger: Ledger) -> Section | None:
    """One group a fact that a finding judged; undecided ones first. None where there is nothing measured."""
    keys = [f.key for verdict in (Verdict.UNDECIDED, *Verdict) for f in findings if f.verdict is verdict and f.key]
    chosen = [key for key in dict.fromkeys(keys) if key.quantity in SHOWN]
    found = [one for key in chosen if (one := budget(book, key)) is not None and len(one.lines) > 1][:MOST_FACTS]
    if not found:
        return None
    columns = (Column("cause"), Column("moves"), *(Column(head, Align.RIGHT) for head in
               ("u", "sensitivity", "contribution", "share")))  # fmt: skip
    groups = tuple(_group(one, book, ledger) for one in found)
    caption = "JCGM 100:2008; computed facts by draws (JCGM 101:2008). One meter's error at all points is one line."
    table = Table(columns, groups, caption)
    return Section("budgets", "Uncertainty budgets", (table,), "where the uncertainty of each verdict comes from")


def _group(one: Budget, book: Book, ledger: Ledger) -> TableGroup:
    fact = book.fact(one.key)
    assert fact is not None
    ledger.ref(one.key)
    dominant = f"; most from {cause_text(one.dominant)}" if one.dominant else ""
    shown = [line for line in one.lines[:MOST_LINES] if line.share >= NOTABLE]
    rows = [_row(line, one.key) for line in shown]
    left = one.rest + sum(line.share for line in one.lines if line not in shown)
    rows.append(_cells(("the rest", "", "", "", "", f"{left * 100:.1f} %")))
    return TableGroup(f"{key_text(one.key)}: {show_fact(fact)}{dominant}", tuple(rows))


def _row(line: Line, key: Key) -> TableRow:
    moved = {moves.quantity for moves in line.moves}
    name = quantities()[line.moves[0].quantity].name if len(moved) == 1 else "several quantities"
    many = f"{len(line.moves)} readings of {name}" if len(line.moves) > 1 else name
    unit = quantities()[line.moves[0].quantity].unit if len(moved) == 1 else ""
    own = quantities()[key.quantity]
    contribution = f"{_plain(abs(line.contribution) * own.scale)} {own.shown or own.unit}".removesuffix(" 1")
    u = f"{_plain(line.u)} {unit.replace('degC', 'K')}".removesuffix(" 1").strip()
    return _cells((cause_text(line), many, u, _plain(line.sensitivity), contribution.replace("°C", "K"),
                   f"{line.share * 100:.1f} %"))  # fmt: skip


def _plain(value: float) -> str:
    """Two significant digits, without an exponent between 0.0001 and 10000."""
    text = f"{value:.2g}" if not 10 <= abs(value) < 10_000 else f"{value:.0f}"
    return text.replace("-", "−")


def _cells(texts: tuple[str, ...]) -> TableRow:
    return TableRow(tuple(TableCell(plain(text)) for text in texts))
