"""The findings: what falls short, what is open and why, and in a table what meets its limit."""

import math
from collections.abc import Sequence

from partingline.facts import Book
from partingline.facts.show import show_value, subject_text
from partingline.findings.next_steps import next_steps
from partingline.model import Finding, Verdict
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import (
    Column,
    FindingItem,
    FindingList,
    Items,
    Kind,
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

MOST_STEPS = 8
MOST_ALIKE = 2
"""More findings than these of one rule on one subject stand as one line: that of the nearest to its limit."""


def open_findings(findings: Sequence[Finding], ledger: Ledger) -> Section:
    """What falls short, then what is undecided or lacks data."""
    chosen = [f for f in findings if f.verdict is not Verdict.MEETS]
    meets = len(findings) - len(chosen)
    if not chosen:
        return Section("findings", "Findings", (Paragraph(plain("Every rule that applies is met.")),))
    items = FindingList(tuple(item(f, n, ledger) for n, f in enumerate(chosen)))
    return Section("findings", "Findings that fall short or stay open", (items,), f"{meets} more meet their limit")


def met_findings(findings: Sequence[Finding], ledger: Ledger) -> Section:
    """Everything that meets its limit, group by group; of one rule on one subject the findings nearest to the limit."""
    alike: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        if finding.verdict is Verdict.MEETS:
            alike.setdefault((finding.group, finding.rule, finding.subject, str(finding.citation)), []).append(finding)
    groups: dict[str, list[TableRow]] = {}
    for (group, *_), same in alike.items():
        nearest = same if len(same) <= MOST_ALIKE else [min(same, key=_room)]
        groups.setdefault(group, []).extend(_met_row(one, len(same) - len(nearest), ledger) for one in nearest)
    if not groups:
        return Section("met", "Limits that are met", (Paragraph(plain("None yet.")),))
    columns = (Column("subject"), Column("finding"), Column("margin"), Column("source"))
    table = Table(columns, tuple(TableGroup(name, tuple(rows)) for name, rows in groups.items()))
    return Section("met", "Limits that are met", (table,), "each with its margin and source")


def to_measure(findings: Sequence[Finding], book: Book) -> Section | None:
    """What to measure next, the most useful first; None where nothing would help."""
    steps = next_steps(findings, book)
    if not steps:
        return None
    items = tuple(
        (Span(step.what), Span(f" It bears on {len(step.settles)} finding{'s' if len(step.settles) > 1 else ''}."))
        for step in steps[:MOST_STEPS]
    )
    return Section(
        "next", "What to measure next", (Items(items, ordered=True),), "ranked by the findings it would settle"
    )


def item(finding: Finding, number: int, ledger: Ledger) -> FindingItem:
    """One finding for the list."""
    key = finding.key or (finding.used[0] if finding.used else None)
    return FindingItem(
        id=f"finding-{number}-{finding.rule}",
        verdict=finding.verdict,
        sentence=ledger.spans(finding.sentence),
        source=_source(finding, ledger),
        evidence=ledger.evidence_spans(key) if key else (),
        margin=_probability(finding),
        next_step=finding.next_step,
    )


def _room(finding: Finding) -> float:
    return math.inf if finding.margin is None else finding.margin


def _met_row(finding: Finding, others: int, ledger: Ledger) -> TableRow:
    likewise = Span(f" The nearest to its limit; {others} others keep it likewise.", None, Kind.MUTED)
    return TableRow(
        (
            TableCell(plain(subject_text(finding.subject)), finding.verdict),
            TableCell((*ledger.spans(finding.sentence), *((likewise,) if others else ()))),
            TableCell(plain(_margin(finding))),
            TableCell(_source(finding, ledger)),
        )
    )


def _source(finding: Finding, ledger: Ledger) -> Spans:
    return (Span(str(finding.citation), ledger.source_ref(finding.citation)),)


def _margin(finding: Finding) -> str:
    if finding.margin is None or finding.key is None:
        return ""
    return show_value(finding.margin, finding.key.quantity)


def _probability(finding: Finding) -> str:
    if finding.probability is None:
        return ""
    if finding.indicative and finding.verdict is Verdict.UNDECIDED and finding.probability < 0.05:
        return "beyond a limit that is only indicative"
    if finding.probability < 0.001:
        return "probability of meeting < 0.1 %"
    return f"probability of meeting {min(finding.probability, 0.999) * 100:.3g} %"
