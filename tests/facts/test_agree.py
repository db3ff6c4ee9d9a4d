"""When two statements agree. Own definition in `facts/agree.py`: overlap with 95 % probability.

The numbers of the line are those of the normal distribution: 1.960 for a difference of two readings, 1.645 for a bound
(JCGM 106:2012, 7.2; scipy as the independent reference). Shared causes cancel: JCGM 100:2008, 5.2.
"""

import math

import pytest
from scipy.stats import norm

from partingline.facts.agree import compare, difference_u, standings
from partingline.model import Component, Interval, Key, Number, Route, Sense, Shape, Standing, Statement, Text, Value

YES, NO, OPEN = Standing.SUPPORTED, Standing.CONTRADICTED, Standing.OPEN
EQ, NOM, LEAST, MOST, IN = Sense.EQUALS, Sense.NOMINAL, Sense.AT_LEAST, Sense.AT_MOST, Sense.WITHIN
TWO_SIDED, ONE_SIDED = float(norm.ppf(0.975)), float(norm.ppf(0.95))
NEAR, FAR = 0.999, 1.001
KEY = Key.of("part:C3", "rated_voltage")


def said(value: Value, sense: Sense = EQ, route: Route = Route.CAPTURED, key: Key = KEY) -> Statement:
    return Statement(key, value, route, sense)


def read(value: float, u: float, cause: str = "") -> Number:
    return Number(value, (Component(cause or f"reading of {value}", u),))


def classed(value: float, half: float) -> Number:
    return Number(value, (Component(f"tolerance:{value}", half, Shape.RECTANGULAR),))


BOTH = math.hypot(1.0, 1.0)
CASES: list[tuple[str, Value, Sense, Value, Sense, Standing]] = [
    ("readings just inside", read(10, 1), EQ, read(10 + NEAR * TWO_SIDED * BOTH, 1), EQ, YES),
    ("readings just outside", read(10, 1), EQ, read(10 + FAR * TWO_SIDED * BOTH, 1), EQ, NO),
    ("exact readings, equal", Number(3.0), EQ, Number(3.0), EQ, YES),
    ("exact readings, not equal", Number(3e-9), EQ, Number(3.001e-9), EQ, NO),
    ("at least, surely kept", Number(10), LEAST, read(10 + FAR * ONE_SIDED, 1), EQ, YES),
    ("at least, not surely kept", Number(10), LEAST, read(10 + NEAR * ONE_SIDED, 1), EQ, OPEN),
    ("at least, not surely broken", Number(10), LEAST, read(10 - NEAR * ONE_SIDED, 1), EQ, OPEN),
    ("at least, surely broken", Number(10), LEAST, read(10 - FAR * ONE_SIDED, 1), EQ, NO),
    ("at most, surely kept", Number(10), MOST, read(10 - FAR * ONE_SIDED, 1), EQ, YES),
    ("at most, not surely kept", Number(10), MOST, read(10 - NEAR * ONE_SIDED, 1), EQ, OPEN),
    ("at most, surely broken", Number(10), MOST, read(10 + FAR * ONE_SIDED, 1), EQ, NO),
    ("at least, exact and equal", Number(1e-9), LEAST, Number(1e-9), EQ, YES),
    ("at least, exact and a thousandth short", Number(1e-9), LEAST, Number(0.999e-9), EQ, NO),
    ("at least against a stronger promise", Number(3), LEAST, Number(3.25), LEAST, YES),
    ("at least against a weaker promise", Number(3), LEAST, Number(2.4), LEAST, NO),
    ("at most against a stricter bound", Number(5), MOST, Number(4), MOST, YES),
    ("at most against a laxer bound", Number(4), MOST, Number(5), MOST, NO),
    ("bounds that leave room", Number(3), LEAST, Number(5), MOST, YES),
    ("bounds that leave none", Number(5), LEAST, Number(3), MOST, NO),
    ("class and reading just inside", classed(100, 10), NOM, read(110 + NEAR * TWO_SIDED, 1), EQ, YES),
    ("class and reading just outside", classed(100, 10), NOM, read(110 + FAR * TWO_SIDED, 1), EQ, NO),
    ("classes that touch", classed(100, 10), NOM, classed(120, 10), NOM, YES),
    ("classes that do not", classed(100, 10), NOM, classed(120, 9.9), NOM, NO),
    ("at least, all of the class keeps it", Number(400), LEAST, classed(450, 45), NOM, YES),
    ("at least, a part of the class keeps it", Number(400), LEAST, classed(400, 40), NOM, OPEN),
    ("at least, none of the class keeps it", Number(400), LEAST, classed(350, 35), NOM, NO),
    ("interval, surely within", Interval(90, 264), IN, read(90 + FAR * ONE_SIDED, 1), EQ, YES),
    ("interval, perhaps within", Interval(90, 264), IN, read(90 + NEAR * ONE_SIDED, 1), EQ, OPEN),
    ("interval, perhaps beyond", Interval(90, 264), IN, read(90 - NEAR * ONE_SIDED, 1), EQ, OPEN),
    ("interval, surely beyond", Interval(90, 264), IN, read(264 + FAR * ONE_SIDED, 1), EQ, NO),
    ("interval narrower than the reading", Interval(9.9, 10.1), IN, read(10, 1), EQ, OPEN),
    ("interval within interval", Interval(100, 240), IN, Interval(90, 264), IN, YES),
    ("interval beyond interval", Interval(90, 264), IN, Interval(100, 240), IN, NO),
    ("texts with a word in common", Text("X2"), EQ, Text("class X2, 310 V"), EQ, YES),
    ("texts without", Text("X1"), EQ, Text("X2"), EQ, NO),
    ("text and number", Text("X1"), EQ, Number(1), EQ, NO),
]


@pytest.mark.parametrize(
    ("claim", "c_sense", "witness", "w_sense", "expected"), [c[1:] for c in CASES], ids=[c[0] for c in CASES]
)
def test_pairs_of_senses(claim: Value, c_sense: Sense, witness: Value, w_sense: Sense, expected: Standing) -> None:
    assert compare(said(claim, c_sense), said(witness, w_sense)) is expected


@pytest.mark.parametrize(
    ("claim", "c_sense", "witness", "w_sense", "expected"), [c[1:] for c in CASES], ids=[c[0] for c in CASES]
)
def test_the_order_of_a_number_pair_does_not_matter(
    claim: Value, c_sense: Sense, witness: Value, w_sense: Sense, expected: Standing
) -> None:
    """Own definition: overlap is mutual; only two bounds of one kind and two intervals have a claimant."""
    if c_sense is w_sense and c_sense in (LEAST, MOST, IN):
        assert compare(said(witness, w_sense), said(claim, c_sense)) is not expected
    else:
        assert compare(said(witness, w_sense), said(claim, c_sense)) is expected


def test_power_ratings_are_held_to_half_a_watt() -> None:
    """USB PD R3.0, power rules, as read in a secondary page (facts of the project)."""
    key = Key.of("port:C1", "output_power")
    for offered, expected in ((64.51, YES), (64.49, NO)):
        assert compare(said(Number(65), LEAST, key=key), said(Number(offered), LEAST, key=key)) is expected
        assert compare(said(Number(65), LEAST), said(Number(offered), LEAST)) is NO


def test_shared_causes_cancel_in_a_difference() -> None:
    """JCGM 100:2008, 5.2.2, eq. (16) with r = 1: u(a - b) is the difference of the two contributions."""
    a = Number(100.0, (Component("meter/gain", 1.0), Component("scatter a", 0.03)))
    b = Number(101.5, (Component("meter/gain", 1.015), Component("scatter b", 0.04)))
    assert difference_u(a, b) == pytest.approx(math.sqrt(0.015**2 + 0.03**2 + 0.04**2))
    assert compare(said(a), said(b)) is NO
    other = Number(101.5, (Component("second meter/gain", 1.015), Component("scatter b", 0.04)))
    assert compare(said(a), said(other)) is YES


def test_the_sign_of_a_shared_cause_counts() -> None:
    """JCGM 100:2008, 5.2.2, eq. (16) with r = -1: the contributions add."""
    a, b = Number(1.0, (Component("tilt", 0.3),)), Number(1.0, (Component("tilt", -0.4),))
    assert difference_u(a, b) == pytest.approx(0.7)


def test_ten_resistors_of_one_standard_add_linearly() -> None:
    """JCGM 100:2008, 5.2.2, example: ten resistors of 100 mΩ uncertainty each, one standard: 1 Ω, not 0.32 Ω."""
    assert Number(1e4, (Component("standard", 0.1),) * 10).u == pytest.approx(1.0)
    assert Number(1e4, tuple(Component(f"own {n}", 0.1) for n in range(10))).u == pytest.approx(0.316, abs=5e-4)


def test_a_load_that_was_not_raised_further_breaks_no_promise() -> None:
    """A measured 'at least' says how far it was tried; it can support a claim never contradict it."""
    for kept, expected in ((3.3, YES), (2.4, OPEN)):
        assert compare(said(Number(3), LEAST), said(Number(kept), LEAST, Route.MEASURED)) is expected


@pytest.mark.parametrize(
    ("statements", "expected"),
    [
        ([said(read(5, 0.1), route=Route.MEASURED), said(read(9, 0.1), route=Route.LABEL)], [OPEN, NO]),
        ([said(read(5, 0.1), route=Route.MEASURED), said(read(5.1, 0.1), route=Route.LABEL)], [YES, YES]),
        ([said(read(5, 0.1), route=Route.LABEL), said(read(9, 0.1), route=Route.LISTING)], [OPEN, NO]),
        ([said(read(5, 0.1), route=Route.LABEL), said(read(5, 0.1), route=Route.LISTING)], [OPEN, OPEN]),
        ([said(read(5, 0.1), route=Route.MEASURED), said(read(9, 0.1), route=Route.ASSUMED)], [OPEN, OPEN]),
        ([said(read(5, 0.1), route=Route.MEASURED)], [OPEN]),
    ],
    ids=[
        "contradicted by a measurement",
        "supported",
        "listing against label",
        "two claims, no evidence",
        "assumed",
        "alone",
    ],
)
def test_standings_side_by_side(statements: list[Statement], expected: list[Standing]) -> None:
    """Own definition: only what observes the unit supports; only a stronger route contradicts; assumed does neither."""
    assert list(standings(tuple(statements))) == expected
