"""The converter: block diagram from the parts, margins of the stressed ones, the parts by stage."""

from collections.abc import Sequence

import numpy as np

from partingline.facts import Book
from partingline.facts.show import THIN, show_fact, show_value, subject_text
from partingline.facts.statements.parts import MAIN
from partingline.facts.statements.values import BORNE
from partingline.model import Finding, Key, Part, Unit, Verdict
from partingline.publish.compose.ledger import Ledger
from partingline.publish.compose.stages import STAGES, diagram, refs_text, role_text, stage_of
from partingline.publish.document import (
    Block,
    Column,
    Drawing,
    Figure,
    Section,
    Span,
    Spans,
    Table,
    TableCell,
    TableGroup,
    TableRow,
    plain,
)
from partingline.publish.figures import Margin, margin_bars

_STRESSED = ("parts", "stage")
MOST_BARS = 24


def converter(unit: Unit, findings: Sequence[Finding], book: Book, ledger: Ledger) -> Section | None:
    """The diagram and the margins; None without either."""
    drawn = diagram(unit, book) if unit.parts else None
    blocks: list[Block] = [drawn] if drawn else []
    if bars := _margins(findings, book):
        caption = "Stress over rating, or what is there over what is asked; 100 % is the limit. Whiskers: k = 2."
        blocks.append(
            Figure(
                "figure-margins",
                "Margins",
                Drawing(margin_bars(bars)),
                plain(caption),
                "Each stress as a share of its limit.",
            )
        )
    name = "The converter" if unit.fed_by_mains else "Inside"
    return Section("converter", name, tuple(blocks), "drawn from the part list") if blocks else None


def parts_by_stage(unit: Unit, findings: Sequence[Finding], book: Book, ledger: Ledger) -> Section | None:
    """Every part with marking, value and ratings, and the worst verdict on it."""
    if not unit.parts:
        return None
    columns = (
        Column("ref"),
        Column("role"),
        Column("marking"),
        Column("value"),
        Column("ratings"),
        Column("maker, part number"),
    )
    groups = []
    for stage in [*STAGES, ""]:
        chosen = [part for part in unit.parts if stage_of(part) == stage]
        if chosen:
            rows = tuple(_row(part, findings, book, ledger) for part in chosen)
            groups.append(TableGroup(stage or "other", rows))
    return Section("parts", "Parts", (Table(columns, tuple(groups)),), f"{len(unit.parts)} refs, by stage")


def _margins(findings: Sequence[Finding], book: Book) -> list[Margin]:
    bars = []
    for finding in findings:
        limit, key = finding.limit, finding.key
        if limit is None or key is None or finding.group not in _STRESSED or finding.verdict is Verdict.NOT_ENOUGH_DATA:
            continue
        bound = limit.high if limit.high is not None else limit.low
        fact = book.fact(key)
        if not bound or fact is None:
            continue
        stressed_by_limit = limit.high is None and key.quantity in BORNE
        share = bound / fact.value if stressed_by_limit and fact.value else fact.value / bound
        u = float(np.std(book.draws(key)[1:])) / abs(bound)
        said = (
            f"{show_value(bound, key.quantity)} of {show_fact(fact)}"
            if stressed_by_limit
            else f"{show_fact(fact)} / {show_value(bound, key.quantity)}"
        )
        name = f"{subject_text(finding.subject)} {finding.rule.partition('.')[2].replace('_', ' ')}"
        bars.append(Margin(name, float(share), said.replace(THIN, " "), finding.verdict, u))
    return bars[:MOST_BARS]


def _row(part: Part, findings: Sequence[Finding], book: Book, ledger: Ledger) -> TableRow:
    on_it = [finding.verdict for finding in findings if finding.subject == part.subject]
    worst = min(on_it, key=list(Verdict).index, default=None)
    number = ", ".join(filter(None, (part.maker, part.part_number)))
    return TableRow(
        (
            TableCell(plain(refs_text(part)), worst),
            TableCell(plain(role_text(part))),
            TableCell((Span(part.marking, ledger.evidence_ref(part.evidence)),) if part.marking else ()),
            TableCell(_fact(part, MAIN.get(part.kind, ""), book, ledger)),
            TableCell(_ratings(part, book, ledger)),
            TableCell(plain(number)),
        ),
        id=f"row-{part.ref}",
    )


def _fact(part: Part, quantity: str, book: Book, ledger: Ledger) -> Spans:
    fact = book.fact(Key.of(part.subject, quantity)) if quantity else None
    return (Span(show_fact(fact), ledger.ref(fact.key)),) if fact else ()


def _ratings(part: Part, book: Book, ledger: Ledger) -> Spans:
    names = (
        "rated_voltage", "rated_ac_voltage", "rated_current", "on_resistance", "safety_class", "rated_temperature",
        "rated_life", "isolation_voltage", "breaking_capacity", "fuse_characteristic",
    )  # fmt: skip
    spans: list[Span] = []
    for name in names:
        if name != MAIN.get(part.kind) and (shown := _fact(part, name, book, ledger)):
            spans += [Span(", ")] if spans else []
            spans += shown
    return tuple(spans)
