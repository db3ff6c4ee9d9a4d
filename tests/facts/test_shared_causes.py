"""What a computed value shares with a reading cancels when the two are compared.

JCGM 100:2008, 5.2.2: for y = k x and a reading z, u²(y - z) = u²(y) + u²(z) - 2 u(y, z); with one cause in common the
rest is that of a difference of sensitivities. Numbers below by hand from that equation.
"""

import pytest

from partingline.facts import Book, Derivation
from partingline.facts.agree import difference_u
from partingline.facts.draws import Array
from partingline.model import Citation, Component, Key, Number, Route, Sense, Shape, Standing, Statement

ALGEBRA = Citation("algebra", "", "C", "algebra")
POWER, CURRENT, TWICE = (Key.of("unit", name) for name in ("output_power", "current", "input_power"))
METER = Component("instrument:meter:gain", 0.03, Shape.RECTANGULAR)


def read(key: Key, value: float, *components: Component, route: Route = Route.MEASURED) -> Statement:
    return Statement(key, Number(value, components), route, Sense.EQUALS)


def doubled(*, value: Array) -> Array:
    return 2 * value


def gathered(*statements: Statement) -> tuple[Number, Number, tuple[Standing, ...]]:
    fact = Book(statements, [Derivation(POWER, {"value": CURRENT}, doubled, ALGEBRA)]).fact(POWER)
    assert fact is not None
    by_route = {s.route: s.value for s in fact.statements}
    a, b = by_route[Route.MEASURED], by_route[Route.COMPUTED]
    assert isinstance(a, Number)
    assert isinstance(b, Number)
    return a, b, fact.standings


def test_the_error_of_one_meter_cancels() -> None:
    scatter = Component("scatter", 0.004)
    measured, computed, standings = gathered(read(CURRENT, 1.0, METER, scatter), read(POWER, 2.02, doubled_meter()))
    assert computed.u == pytest.approx(2 * (0.03**2 / 3 + 0.004**2) ** 0.5, rel=5e-3)
    assert difference_u(measured, computed) == pytest.approx(2 * 0.004, rel=0.02)
    assert standings == (Standing.OPEN, Standing.CONTRADICTED)


def test_two_meters_do_not_cancel() -> None:
    other = Component("instrument:other:gain", 0.06, Shape.RECTANGULAR)
    measured, computed, standings = gathered(read(CURRENT, 1.0, METER), read(POWER, 2.02, other))
    assert difference_u(measured, computed) == pytest.approx((2 * 0.06**2 / 3) ** 0.5, rel=0.02)
    assert standings == (Standing.SUPPORTED, Standing.SUPPORTED)


def test_a_meter_that_moves_the_two_apart_counts_twice() -> None:
    measured, computed, _ = gathered(read(CURRENT, 1.0, METER), read(POWER, 2.02, doubled_meter(-1)))
    assert difference_u(measured, computed) == pytest.approx(2 * 0.06 / 3**0.5, rel=0.01)


def test_two_ways_from_one_reading_share_all_of_it() -> None:
    ways = [Derivation(POWER, {"value": key}, doubled, ALGEBRA) for key in (CURRENT, TWICE)]
    book = Book([read(CURRENT, 1.0, METER), read(TWICE, 1.0, METER)], ways)
    fact = book.fact(POWER)
    assert fact is not None
    first, second = (s.value for s in fact.statements)
    assert isinstance(first, Number)
    assert isinstance(second, Number)
    assert difference_u(first, second) == pytest.approx(0.0, abs=1e-9)


def doubled_meter(sign: int = 1) -> Component:
    return Component(METER.cause, sign * 2 * METER.width, METER.shape)
