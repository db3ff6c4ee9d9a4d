"""Rule cases as data: one TOML file a rule, each case a small world and the verdict that must come out.

```toml
source = "whose numbers these are, with the clause"

[[case]]
name = "meets just above"
verdict = "meets"                      # or falls short, undecided, not enough data, none (nothing to say)
subject = "port:C1"                    # optional: the finding's subject
says = "89.0"                          # optional: words that the sentence must hold
kind = "cable"                         # optional: wall charger without it
examined = 2019-05-17                  # optional: 2 October 2026 without it, false: not known
[case.facts]                           # SI: a number, or value and u, text, low and high; route, sense
"port:C1/average_efficiency@mains=115,offer=20" = { value = 0.881, u = 0.0005 }
"unit/efficiency_mark" = { text = "VI", route = "label" }
[case.no_number]                       # where a model does not hold, and why
"port:C1/computed_loss@load=1,mains=90,offer=20" = "below the least load of this valley"
[[case.ports]]
id = "C1"
connector = "USB-C"
captured = true
cable_current = 5.0
offers = [{ kind = "fixed", voltage = 5.0, current = 3.0 }]
[[case.parts]]
ref = "F1"
kind = "fuse"
role = "fuse"
```

A fact given as a list of tables has several statements, by several routes.
"""

import tomllib
from datetime import date
from pathlib import Path
from typing import Any

from partingline.facts import Book
from partingline.findings import Case
from partingline.model import (
    Component,
    Evidence,
    Interval,
    Key,
    Number,
    Offer,
    OfferList,
    Part,
    Port,
    Route,
    Sense,
    Statement,
    Text,
    Unit,
    Value,
)

FOLDER = Path(__file__).parent / "cases"
WHERE = Evidence("case.toml", "0" * 64)


def read_cases(path: Path) -> dict[str, Any]:
    """A case file as plain data."""
    return tomllib.loads(path.read_text(encoding="utf-8"))


def build(case: dict[str, Any]) -> Case:
    """The small world of one case, without derivations: what is not given is not known."""
    statements = [
        _statement(Key.parse(id_), one)
        for id_, given in case.get("facts", {}).items()
        for one in (given if isinstance(given, list) else [given])
    ]
    ports = tuple(_port(port) for port in case.get("ports", ()))
    parts = tuple(_part(part) for part in case.get("parts", ()))
    unit = Unit(
        "case",
        "Maker",
        "Model",
        "",
        case.get("kind", "wall charger"),
        True,
        case.get("examined", date(2026, 10, 2)) or None,
        "",
        ports,
        parts,
    )
    book = Book(statements)
    book.no_number |= {Key.parse(id_): why for id_, why in case.get("no_number", {}).items()}
    return Case(unit=unit, book=book)


def _statement(key: Key, given: Any) -> Statement:
    told = given if isinstance(given, dict) else {"value": given}
    route = Route(told.get("route", "measured"))
    sense = Sense(told.get("sense", "within" if "low" in told else "equals"))
    said, note = told.get("said", ""), told.get("note", "")
    return Statement(key, _value(key, told), route, sense, (WHERE,), said=said, note=note)


def _value(key: Key, told: dict[str, Any]) -> Value:
    if "text" in told:
        return Text(told["text"])
    if "low" in told:
        return Interval(float(told["low"]), float(told["high"]))
    u = float(told.get("u", 0.0))
    return Number(float(told["value"]), (Component(told.get("cause", f"u:{key.id}"), u),) if u else ())


def _port(told: dict[str, Any]) -> Port:
    offers = tuple(
        Offer(**{"position": n, "kind": "fixed", **offer}) for n, offer in enumerate(told.get("offers", ()), 1)
    )
    seen = (OfferList(offers, told.get("captured", True), told.get("cable_current"), WHERE),) if offers else ()
    return Port(told["id"], told.get("connector", "USB-C"), seen)


def _part(told: dict[str, Any]) -> Part:
    plain = {"kind": "", "stage": "", "board": "", "side": "", "marking": "", "maker": "", "part_number": ""}
    return Part(**{**plain, "package": "", "note": "", "count": 1, "evidence": WHERE, **told})
