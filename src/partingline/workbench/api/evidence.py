"""Facts as a popover shows them: routes side by side, formula, source, and evidence with a link to its place."""

from typing import Any
from urllib.parse import quote, urlencode

from partingline.calc import CALCULATIONS
from partingline.facts.show import key_text, show_fact, show_statement
from partingline.model import (
    Cell,
    Evidence,
    Fact,
    Key,
    KeyPath,
    Line,
    Number,
    Place,
    Region,
    Rows,
    Samples,
    Statement,
)
from partingline.workbench.live import Shown


def fact_record(unit: str, shown: Shown, fact: Fact) -> dict[str, Any]:
    """Everything about one fact."""
    value = fact.preferred.value
    pairs = zip(fact.statements, fact.standings, strict=True)
    return {
        **short_record(fact),
        "value": value.value if isinstance(value, Number) else None,
        "u": fact.u if isinstance(value, Number) else None,
        "preferred_because": fact.preferred_because,
        "statements": [_statement(unit, shown, statement, standing.value) for statement, standing in pairs],
        "used_by": [
            {"finding": number, "text": finding.text, "verdict": finding.verdict.value}
            for number, finding in enumerate(shown.findings)
            if fact.key == finding.key or fact.key in finding.used
        ],
        "leads_to": [short_record(one) for one in shown.opened.book.facts() if fact.key in one.inputs],
    }


def short_record(fact: Fact) -> dict[str, Any]:
    """A fact in a line."""
    return {
        "id": fact.key.id, "name": key_text(fact.key), "shown": show_fact(fact), "standing": fact.standing.value,
    }  # fmt: skip


def evidence_record(unit: str, evidence: Evidence) -> dict[str, Any]:
    """A place in a file, and the page that shows it."""
    place = place_record(evidence.place)
    asked = urlencode({"path": evidence.path, **{name: value for name, value in place.items() if name != "kind"}})
    return {
        "text": str(evidence), "path": evidence.path, "sha256": evidence.sha256, "place": place,
        "href": f"/unit/{quote(unit)}/source?{asked}",
    }  # fmt: skip


def place_record(place: Place) -> dict[str, Any]:
    """A place as JSON."""
    if isinstance(place, Line):
        return {"kind": "line", "line": place.number}
    if isinstance(place, KeyPath):
        return {"kind": "line", "line": place.line} if place.line else {"kind": "whole"}
    if isinstance(place, Cell):
        return {"kind": "cell", "row": place.row, "column": place.column}
    if isinstance(place, Rows):
        return {"kind": "rows", "first": place.first, "last": place.last, "column": place.column}
    if isinstance(place, Samples):
        return {"kind": "samples", "first": place.first, "last": place.last, "t_s": place.t_s}
    if isinstance(place, Region):
        return {"kind": "region", "x": place.x, "y": place.y, "w": place.w, "h": place.h}
    return {"kind": "whole"}


def _statement(unit: str, shown: Shown, statement: Statement, standing: str) -> dict[str, Any]:
    basis = statement.basis
    inputs = [_input(shown, key) for key in basis.inputs] if basis else []
    return {
        "route": statement.route.value,
        "sense": statement.sense.value,
        "standing": standing,
        "shown": show_statement(statement),
        "said": statement.said,
        "note": statement.note,
        "formula": _formula(basis.what) if basis else None,
        "source": basis.source if basis else None,
        "inputs": inputs,
        "evidence": [evidence_record(unit, one) for one in statement.evidence],
    }


def _formula(what: str) -> dict[str, str]:
    known = CALCULATIONS.get(what)
    return {"id": what, "summary": known.summary if known else ""}


def _input(shown: Shown, key: Key) -> dict[str, Any]:
    fact = shown.opened.book.fact(key)
    return {"id": key.id, "name": key_text(key), "shown": show_fact(fact) if fact else "not known"}
