"""Whether two statements on one fact agree, each read in its own sense.

A reading is compared within its uncertainty, a marking within its tolerance, a rating as a bound that the unit must
keep, an interval by containment. The chosen probability is 95 %: what lies between is left open.
"""

import math
import re

from partingline.model import Interval, Number, Route, Sense, Shape, Standing, Statement, Text

COVERAGE = 1.96
RISK = 0.05
_EXACT = 1e-9
_ALLOWANCE = {"output_power": 0.5}
"""W: a power rating is held to half a watt (USB PD R3.0 power rules, read in a secondary page)."""


def standings(ordered: tuple[Statement, ...]) -> tuple[Standing, ...]:
    """How each statement stands beside the stronger ones; `ordered` has the preferred one first."""
    return tuple(_standing(statement, ordered) for statement in ordered)


def _standing(statement: Statement, ordered: tuple[Statement, ...]) -> Standing:
    if statement.route is Route.ASSUMED:
        return Standing.OPEN
    seen = Standing.OPEN
    for other in ordered:
        if other is statement or other.route is Route.ASSUMED:
            continue
        outcome = compare(statement, other)
        stronger = other.route.rank < statement.route.rank
        if outcome is Standing.CONTRADICTED and stronger:
            return Standing.CONTRADICTED
        if outcome is Standing.SUPPORTED and (other.route.is_evidence or statement.route.is_evidence):
            seen = Standing.SUPPORTED
    return seen


def compare(claim: Statement, witness: Statement) -> Standing:
    """Supported where the regions of the two overlap surely, contradicted where they surely do not, else open."""
    a, b = claim.value, witness.value
    if isinstance(a, Text) and isinstance(b, Text):
        return _yes(bool(_tokens(a.text) & _tokens(b.text)))
    if isinstance(a, Interval) and isinstance(b, Interval):
        dust = _EXACT * max(abs(a.low), abs(a.high))
        return _yes(b.low <= a.low + dust and a.high <= b.high + dust)
    if isinstance(a, Interval) and isinstance(b, Number):
        return _inside(a, b)
    if isinstance(a, Number) and isinstance(b, Interval):
        return _inside(b, a)
    if isinstance(a, Number) and isinstance(b, Number):
        outcome = _numbers(a, claim.sense, b, witness.sense, _ALLOWANCE.get(claim.key.quantity, 0.0))
        tried_no_further = witness.sense is claim.sense is Sense.AT_LEAST and witness.route is Route.MEASURED
        return Standing.OPEN if tried_no_further and outcome is Standing.CONTRADICTED else outcome
    return Standing.CONTRADICTED


def _numbers(a: Number, a_sense: Sense, b: Number, b_sense: Sense, allowance: float) -> Standing:
    pair = {a_sense, b_sense}
    if a_sense is b_sense and a_sense in (Sense.AT_LEAST, Sense.AT_MOST):
        room = b.value - a.value if a_sense is Sense.AT_LEAST else a.value - b.value
        return _yes(room + allowance >= -_EXACT * max(abs(a.value), abs(b.value)))
    u = difference_u(a, b)
    class_width = sum(_width(n) for n, s in ((a, a_sense), (b, b_sense)) if s is Sense.NOMINAL)
    if Sense.AT_LEAST in pair or Sense.AT_MOST in pair:
        room = _room(a, a_sense, b, b_sense) + allowance
        return _by_probability(room, u, max(abs(a.value), abs(b.value)), class_width)
    off = max(0.0, abs(a.value - b.value) - class_width)
    return _yes(off <= COVERAGE * u + _EXACT * max(abs(a.value), abs(b.value)))


def _room(a: Number, a_sense: Sense, b: Number, b_sense: Sense) -> float:
    """How far the bound of one is kept by the other; negative where it is broken."""
    if a_sense is Sense.AT_LEAST or b_sense is Sense.AT_MOST:
        return b.value - a.value
    return a.value - b.value


def _by_probability(room: float, u: float, size: float, class_width: float = 0.0) -> Standing:
    """By the probability that the room is positive; what lies anywhere in a tolerance class may do so surely or not."""
    if _probability(room - class_width, u, size) >= 1 - RISK:
        return Standing.SUPPORTED
    return Standing.CONTRADICTED if _probability(room + class_width, u, size) <= RISK else Standing.OPEN


def _probability(room: float, u: float, size: float) -> float:
    """That a normal quantity with this estimate is positive (JCGM 106:2012, 7.2)."""
    if u == 0:
        return 1.0 if room >= -_EXACT * size else 0.0
    return 0.5 * (1 + math.erf(room / (u * math.sqrt(2))))


def _inside(interval: Interval, number: Number) -> Standing:
    """Supported where the number surely lies within, contradicted where it surely lies beyond one of the bounds."""
    size = max(abs(number.value), abs(interval.low), abs(interval.high))
    above, below = (
        _probability(room, number.u, size) for room in (number.value - interval.low, interval.high - number.value)
    )
    if above + below - 1 >= 1 - RISK:
        return Standing.SUPPORTED
    return Standing.CONTRADICTED if min(above, below) <= RISK else Standing.OPEN


def difference_u(a: Number, b: Number) -> float:
    """Standard uncertainty of a - b in which shared causes cancel (JCGM 100:2008, 5.2); tolerance classes left out."""
    by_cause: dict[str, float] = {}
    for number, sign in ((a, 1.0), (b, -1.0)):
        for component in number.components:
            if not component.cause.startswith("tolerance:"):
                signed = sign * math.copysign(component.u, component.width)
                by_cause[component.cause] = by_cause.get(component.cause, 0.0) + signed
    return math.sqrt(sum(x * x for x in by_cause.values()))


def _width(number: Number) -> float:
    return sum(
        abs(c.width) for c in number.components if c.cause.startswith("tolerance:") and c.shape is not Shape.NORMAL
    )


def _tokens(text: str) -> set[str]:
    return set(re.findall(r"[\w.]+", text.casefold()))


def _yes(agrees: bool) -> Standing:
    return Standing.SUPPORTED if agrees else Standing.CONTRADICTED
