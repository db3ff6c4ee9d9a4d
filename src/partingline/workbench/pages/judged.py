"""Findings as the page of findings lists them: what each rests on, and what would decide one that is open."""

from collections.abc import Sequence
from typing import Any

from partingline.facts import Book
from partingline.facts.show import key_text, show_value, subject_text
from partingline.model import Finding, Key, Verdict
from partingline.publish.compose.findings import item
from partingline.publish.compose.ledger import Ledger


def judged(findings: Sequence[Finding], book: Book, ledger: Ledger) -> list[dict[str, Any]]:
    """One record a finding, group by group, those that fall short first within each."""
    order = list(dict.fromkeys(finding.group for finding in findings))
    chosen = sorted(
        enumerate(findings), key=lambda one: (order.index(one[1].group), list(Verdict).index(one[1].verdict), one[0])
    )
    told = []
    for number, finding in chosen:
        shown = item(finding, number, ledger)
        told.append(
            {
                "id": shown.id, "rule": finding.rule, "verdict": finding.verdict, "group": finding.group,
                "subject": subject_text(finding.subject), "sentence": shown.sentence, "source": shown.source,
                "evidence": shown.evidence, "margin": _margin(finding, book, shown.margin),
                "decides": decides(finding, book), "missing": [_missing(key) for key in finding.missing],
                "next": finding.next_step if finding.verdict is not Verdict.MEETS else "",
            }
        )  # fmt: skip
    return told


def decides(finding: Finding, book: Book) -> str:
    """What would decide a finding that is undecided; '' for one that is decided or lacks a fact altogether."""
    if finding.verdict is not Verdict.UNDECIDED:
        return ""
    if finding.indicative:
        return "The limit is only indicative: a published limit would decide, a better reading would not."
    fact = book.fact(finding.key) if finding.key else None
    if finding.decides_at_u is None or fact is None:
        return ""
    wanted, now = (show_value(u, fact.key.quantity) for u in (finding.decides_at_u, fact.u))
    return f"A standard uncertainty of {wanted} or better decides it; it is {now} now."


def counted(findings: Sequence[Finding]) -> list[tuple[Verdict, int]]:
    """How many findings there are of each verdict."""
    return [(verdict, sum(f.verdict is verdict for f in findings)) for verdict in Verdict]


def _margin(finding: Finding, book: Book, probability: str) -> str:
    if finding.margin is None or finding.key is None:
        return probability
    fact = book.fact(finding.key)
    limit = finding.limit
    bound = None if limit is None else limit.high if limit.high is not None else limit.low
    share = f", {finding.margin / abs(bound) * 100:+.2g} % of the limit" if bound and fact else ""
    told = f"margin {show_value(finding.margin, finding.key.quantity)}{share}".replace("-", "−")
    return "; ".join(filter(None, (told, probability))).replace(" %", "\u202f%")


def _missing(key: Key) -> tuple[str, str]:
    return key.id, key_text(key)
