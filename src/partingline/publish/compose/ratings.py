"""Margins: how much of each rating is used, beside what each derating rule allows, and how long capacitors last."""

from partingline.facts import Book
from partingline.facts.show import condition_text, show_fact
from partingline.findings.rating_rules import RuledStress, rule_sets, ruled_stresses
from partingline.model import Key, Unit, Verdict
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import (
    Align,
    Block,
    Column,
    Paragraph,
    Section,
    Span,
    Spans,
    Table,
    TableCell,
    TableGroup,
    TableRow,
    plain,
)

LIVES = (
    ("part_temperature", "read"),
    ("line_ripple_current", "mains ripple"),
    ("switching_ripple_current", "switching ripple"),
    ("bulk_life", "10 K rule"),
    ("ripple_life", "ripple formula"),
)
_CITED = {"bulk_life": "10 K rule: Cosel. ", "ripple_life": "Ripple formula: Rubycon. "}


def ratings(unit: Unit, book: Book, ledger: Ledger) -> Section | None:
    """One row a stress of a part, one column a rule set; then the lives. None where no stress can be computed."""
    found = list(ruled_stresses(unit, book))
    if not found:
        return None
    sets = rule_sets()
    columns = (Column("part"), Column("used", Align.RIGHT), *(Column(name) for _, name in sets))
    groups = []
    for stress in ("voltage", "current", "ripple current", "temperature"):
        rows = tuple(_row(one, sets, book, ledger) for one in found if one.of == stress)
        if rows:
            groups.append(TableGroup(stress, rows))
    caption = (
        "Allowed share of the rating by each rule set; for temperature how far below. Empty: the set, as it was read, "
        "says nothing of it. These are rules of design, none is a requirement."
    )
    blocks: list[Block] = [Table(columns, tuple(groups), caption)]
    blocks.append(Paragraph(tuple(_sources(found, ledger))))
    if (lives := _lives(unit, book, ledger)) is not None:
        blocks.append(lives)
    return Section("margins", "Margins and life", tuple(blocks), "published derating rules side by side")


def _row(stress: RuledStress, sets: tuple[tuple[str, str], ...], book: Book, ledger: Ledger) -> TableRow:
    fact = book.fact(stress.key)
    assert fact is not None
    temperature = stress.of == "temperature"
    allowed = {one.rule: one.limit for one in stress.allowed}

    def cell(rule: str) -> TableCell:
        if rule not in allowed:
            return TableCell()
        limit = allowed[rule]
        keeps = fact.value >= limit if temperature else fact.value <= limit
        said = f"{limit:g} K" if temperature else f"{limit * 100:g} %"
        return TableCell(plain(said), Verdict.MEETS if keeps else Verdict.UNDECIDED)

    said = (Span(show_fact(fact) + (" below" if temperature else ""), ledger.ref(stress.key)),)
    return TableRow(
        (
            TableCell(plain(stress.part.ref)),
            TableCell(said),
            *(cell(rule) for rule, _ in sets),
        )
    )


def _sources(found: list[RuledStress], ledger: Ledger) -> Spans:
    """Each rule set with its document; from memory where it is."""
    cited = {one.name: one.citation for stress in found for one in stress.allowed}
    spans: list[Span] = []
    for name, citation in cited.items():
        spans += [Span("; ")] if spans else []
        spans += [Span(f"{name}: "), Span(str(citation), ledger.source_ref(citation))]
    return (*spans, Span("."))


def _lives(unit: Unit, book: Book, ledger: Ledger) -> Table | None:
    """One row an electrolytic capacitor and condition, two models side by side."""
    rows = []
    for part in unit.having("bulk_capacitor") + unit.having("output_capacitor"):
        for key in book.keys("bulk_life", part.subject):
            if key.subject == part.subject and book.fact(key) is not None:
                cells = tuple(_amount(Key.of(part.subject, name, **dict(key.at)), book, ledger) for name, _ in LIVES)
                rows.append(TableRow((TableCell(plain(part.ref)), TableCell(plain(condition_text(key))), *cells)))
    if not rows:
        return None
    columns = (Column("capacitor"), Column("at"), *(Column(head, Align.RIGHT) for _, head in LIVES))
    return Table(columns, (TableGroup("", tuple(rows)),), "".join(_CITED.values()) + "Continuous use at this load.")


def _amount(key: Key, book: Book, ledger: Ledger) -> TableCell:
    fact = book.fact(key)
    return TableCell((Span(show_fact(fact), ledger.ref(key)),)) if fact else TableCell(plain("not known"))
