"""Distances across each barrier beside what asks for them, with the photos on which they are drawn."""

from typing import Any

from partingline.facts.show import show_fact, show_value, subject_text
from partingline.model import Fact, Key, Route, Verdict
from partingline.publish.compose.ledger import Ledger
from partingline.sources import quantities
from partingline.workbench.live import Shown

_DISTANCES = ("creepage", "clearance")
_ASKING = (
    "insulation", "working_voltage", "pollution_degree", "material_group", "overvoltage_category", "altitude",
    "y_capacitance",
)  # fmt: skip


def spaced(shown: Shown, ledger: Ledger) -> dict[str, Any]:
    """The barriers that are spoken of, and the photos with outlines of them; one to begin with where there is none."""
    book = shown.opened.book
    subjects = dict.fromkeys(f.key.subject for f in book.facts() if f.key.subject.startswith("barrier:"))
    barriers = [_barrier(subject, shown, ledger) for subject in subjects]
    named = [mark.photo.removeprefix("photos/") for mark in shown.opened.marks if mark.subject.startswith("barrier:")]
    return {"barriers": barriers, "barrier_photos": list(dict.fromkeys(named))}


def _barrier(subject: str, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    book = shown.opened.book
    own = [f for f in shown.findings if f.subject == subject and f.group == "spacing"]
    rows = []
    for quantity in _DISTANCES:
        found, asked = (book.fact(Key.of(subject, name)) for name in (quantity, f"required_{quantity}"))
        finding = next((f for f in own if f.key is not None and f.key.quantity == quantity and _is_limit(f)), None)
        rows.append(
            {
                "name": quantities()[quantity].name, "found": _told(found, ledger), "asked": _told(asked, ledger),
                "how": found.preferred.route.value if found else "not measured",
                "verdict": finding.verdict if finding else Verdict.NOT_ENOUGH_DATA,
                "margin": show_value(finding.margin, quantity) if finding and finding.margin is not None else "",
                "source": str(finding.citation) if finding else "", "next": finding.next_step if finding else "",
            }
        )  # fmt: skip
    facts = [(name, book.fact(Key.of(subject, name))) for name in _ASKING]
    asks = [
        {
            "name": quantities()[name].name, "key": fact.key.id, "told": _told(fact, ledger),
            "route": fact.preferred.route.value, "assumed": fact.preferred.route is Route.ASSUMED,
            "note": fact.preferred.note,
        }
        for name, fact in facts
        if fact is not None
    ]  # fmt: skip
    return {"name": subject_text(subject), "subject": subject, "rows": rows, "asks": asks}


def _is_limit(finding: Any) -> bool:
    return "not_below" not in finding.rule


def _told(fact: Fact | None, ledger: Ledger) -> tuple[str, str] | None:
    if fact is None:
        return None
    ledger.ref(fact.key)
    return show_fact(fact), fact.key.id
