"""What makers and sellers say of a unit, beside what was seen of it."""

from collections.abc import Iterator
from dataclasses import replace

from partingline.facts.show import condition_text, subject_text
from partingline.findings.judge import Judge
from partingline.model import Component, Fact, Key, Number, Route, Sense, Shape, Statement
from partingline.sources import quantities

CLAIMS = (Route.LABEL, Route.LISTING)

HOW = {
    Route.MEASURED: "was measured",
    Route.CAPTURED: "is offered",
    Route.PHOTOGRAPHED: "was read from a photo",
    Route.COMPUTED: "was computed",
    Route.MARKING: "is marked",
    Route.DATASHEET: "is in the data sheet",
}
"""How a statement came about, behind its value in a sentence."""


def claim(fact: Fact | None, route: Route) -> Statement | None:
    """The first statement of a fact by a route of claims."""
    return next((one for one in fact.statements if one.route is route), None) if fact else None


def said(fact: Fact | None, route: Route) -> float | None:
    """The number that a route says, or None."""
    told = claim(fact, route)
    return told.value.value if told is not None and isinstance(told.value, Number) else None


def witness(fact: Fact) -> Statement | None:
    """The strongest statement that observes the unit itself."""
    seen = [statement for statement in fact.statements if statement.route.is_evidence]
    return min(seen, key=lambda statement: statement.route.rank, default=None)


def claimed(judge: Judge, route: Route, quantity: str = "") -> Iterator[tuple[Fact, Statement]]:
    """Every fact on which a route says something, with what it says."""
    for fact in judge.book.said_by(route):
        told = claim(fact, route)
        if told is not None and quantity in ("", fact.key.quantity):
            yield fact, told


def named(key: Key) -> str:
    """A fact in a sentence: `output power of C1 + A1`, `efficiency of C1 at 230 V mains, 20 V`."""
    known = quantities().get(key.quantity)
    name = known.name if known else key.quantity.replace("_", " ")
    at = condition_text(key)
    joint = " " if at.startswith("with ") else " at "
    whose = "the unit" if key.subject == "unit" else subject_text(key.subject)
    return f"{name} of {whose}" + (joint + at if at else "")


def as_printed(told: Statement) -> Statement:
    """A plain claim with the width of its last printed digit, since 118 g may stand for 117.5 to 118.5 g."""
    if told.sense is not Sense.EQUALS or not isinstance(told.value, Number) or told.value.components:
        return told
    known = quantities().get(told.key.quantity)
    scale = known.scale if known else 1.0
    digits = f"{told.value.value * scale:.9g}".partition(".")[2]
    half = Component("tolerance:printed", 0.5 * 10 ** -len(digits) / scale, Shape.RECTANGULAR)
    return replace(told, value=Number(told.value.value, (half,)), sense=Sense.NOMINAL)
