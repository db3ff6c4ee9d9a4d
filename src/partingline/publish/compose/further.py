"""Boost and buck stages: what the parts of each carry and lose, computed at full load."""

from partingline.facts import Book
from partingline.facts.show import condition_text, show_fact, subject_text
from partingline.model import Fact, Unit
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import (
    Align,
    Column,
    Section,
    Span,
    Table,
    TableCell,
    TableGroup,
    TableRow,
    plain,
)
from partingline.sources import quantities

STAGES = ("stage:pfc", "stage:buck")
LOST = ("copper_loss", "rectifier_loss")
"""Losses that are facts of a part, not of its stage."""


def further(unit: Unit, book: Book, ledger: Ledger) -> Section | None:
    """One group a stage, one row a quantity, its conditions side by side. None without such a stage."""
    subjects = sorted({one for one in book.subjects() if one.startswith(STAGES)})
    groups = []
    for subject in subjects:
        owned = _facts(book, subject) + (_of_parts(unit, book) if subject == STAGES[0] else [])
        if owned:
            groups.append(TableGroup(subject_text(subject), tuple(_rows(owned, ledger))))
    if not groups:
        return None
    columns = (Column("quantity"), Column("values", Align.LEFT))
    caption = "Computed from the parts, at full load of the stage; RMS where nothing else is said."
    table = Table(columns, tuple(groups), caption)
    return Section("further", "Boost and buck stages", (table,), "what stands in front of the converter and behind")


def _facts(book: Book, subject: str) -> list[Fact]:
    keys = {key for quantity in quantities() for key in book.keys(quantity, subject) if key.subject == subject}
    return [fact for key in keys if key.quantity not in ("circuit",) and (fact := book.fact(key)) is not None]


def _of_parts(unit: Unit, book: Book) -> list[Fact]:
    parts = unit.having("pfc_inductor") + unit.having("pfc_rectifier")
    keys = [key for part in parts for name in LOST for key in book.keys(name, part.subject)]
    return [fact for key in keys if (fact := book.fact(key)) is not None]


def _rows(facts: list[Fact], ledger: Ledger) -> list[TableRow]:
    rows: dict[str, list[Fact]] = {}
    for fact in sorted(facts, key=lambda one: (one.key.quantity, _mains(one))):
        part = fact.key.subject.partition(":")[2] + ": " if fact.key.subject.startswith("part:") else ""
        rows.setdefault(part + quantities()[fact.key.quantity].name, []).append(fact)
    return [TableRow((TableCell(plain(name)), TableCell(_values(some, ledger)))) for name, some in rows.items()]


def _mains(fact: Fact) -> float:
    mains = fact.key.condition("mains")
    return mains if isinstance(mains, float) else 0.0


def _values(facts: list[Fact], ledger: Ledger) -> tuple[Span, ...]:
    spans: list[Span] = []
    for fact in facts:
        at = condition_text(fact.key)
        spans += [Span("; ")] if spans else []
        spans += [Span(show_fact(fact), ledger.ref(fact.key)), Span(f" ({at})" if at else "")]
    return tuple(spans)
