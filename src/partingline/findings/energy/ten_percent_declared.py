"""The EU asks makers to declare the efficiency at 10 % load: it is information, and has no limit."""

from collections.abc import Iterator
from typing import Any

from partingline.facts.show import show_statement
from partingline.findings.claimed import claim, said
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import EU, dated, measured, nameplate_power, test_points
from partingline.model import Finding, Route, Statement
from partingline.sources import cite

_EXEMPT = 10.0
_DECLARED = (Route.DATASHEET, Route.LABEL, Route.LISTING)
_PRINTED = 0.0005


@rule(
    id="energy.ten_percent_declared",
    claim="The maker declares the efficiency at 10 % load, and the unit reaches it.",
    source=cite("eu-2019-1782", "Annex II, information; exempt up to 10 W", "M"),
)
def ten_percent_declared(judge: Judge) -> Iterator[Finding]:
    if not EU.in_force(dated(judge.unit, judge.book)[0]):
        return
    points = test_points(judge)
    point = next((one for one in points if one.expected and one.highest), None)
    if point is None or nameplate_power(judge, points) <= _EXEMPT:
        return
    key = point.key("efficiency", mains=EU.mains, load=0.1)
    seen, declared = measured(judge, key), _declared(judge)
    words: dict[str, Any] = {"at": (EU.mains, "input_voltage"), "voltage": (point.voltage, "port_voltage")}
    if declared is None:
        sentence = "The EU asks makers to declare the efficiency at 10 % load; no declaration is in the folder"
        yield judge.lacks(
            sentence + ("; at {at} and {voltage} {seen} was measured." if seen else "."),
            subject=point.port.subject,
            missing=[key],
            next_step="Look for the efficiency at 10 % load in the maker's data sheet or on its page.",
            seen=seen.key if seen else "",
            **words,
        )
    elif seen is not None:
        value = said(judge.book.fact(declared.key), declared.route) or 0.0
        yield judge.at_least(
            seen.key,
            value - _PRINTED,
            "The maker declares {declared} at 10 % load; at {at} and {voltage} {value} was measured.",
            label="declared",
            declared=show_statement(declared),
            **words,
        )


def _declared(judge: Judge) -> Statement | None:
    facts = judge.book.find("efficiency", load=0.1)
    found = (claim(fact, route) for fact in facts for route in _DECLARED)
    return next((told for told in found if told is not None), None)
