"""No number that was read or typed lies outside what is possible for its quantity."""

from collections.abc import Iterator

from partingline.facts.show import show_value
from partingline.findings.claimed import named
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Interval, Number, Route, Statement
from partingline.sources import cite, quantities

_NOT_READ = (Route.COMPUTED, Route.ASSUMED, Route.SPOKEN)
_CABLE_LENGTH = (0.05, 50.0)
"""m; the glossary's range is that of a case."""


@rule(
    id="claims.impossible_values",
    claim="Every number lies within what is possible for its quantity.",
    source=cite("glossary-range", "", "P"),
)
def impossible_values(judge: Judge) -> Iterator[Finding]:
    held = 0
    for fact in judge.book.facts():
        for told in fact.statements:
            outside = _outside(told, judge.unit.kind)
            held += outside is not None and not outside
            if outside:
                yield _impossible(judge, told, outside)
    if held:
        yield judge.decided(
            True,
            "{count} numbers were held against what is possible for their quantity.",
            subject="unit",
            count=held,
        )


def _possible(quantity: str, kind: str) -> tuple[float, float] | None:
    if quantity == "length" and kind.casefold() == "cable":
        return _CABLE_LENGTH
    known = quantities().get(quantity)
    return known.plausible if known else None


def _outside(told: Statement, kind: str) -> list[float] | None:
    """The ends of a statement that are impossible; None where it is no number or has no known range."""
    possible = _possible(told.key.quantity, kind)
    if possible is None or told.route in _NOT_READ:
        return None
    low, high = possible
    if isinstance(told.value, Number):
        ends = [told.value.value]
    elif isinstance(told.value, Interval):
        ends = [told.value.low, told.value.high]
    else:
        return None
    slack = 1e-9 * max(abs(low), abs(high))
    return [end for end in ends if not low - slack <= end <= high + slack]


def _impossible(judge: Judge, told: Statement, outside: list[float]) -> Finding:
    quantity = told.key.quantity
    low, high = _possible(quantity, judge.unit.kind) or (0.0, 0.0)
    where = f"{told.evidence[0]}: " if told.evidence else ""
    return judge.decided(
        False,
        "{value} is no plausible {what} ({route}); {low} to {high} would be.",
        subject=told.key.subject,
        used=[told.key],
        next_step=f"{where}check the unit and the decimal point" + (f" of '{told.said}'." if told.said else "."),
        value=show_value(outside[0], quantity),
        what=named(told.key),
        route=told.route.value,
        low=(low, quantity),
        high=(high, quantity),
    )
