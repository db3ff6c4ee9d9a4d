"""The book of facts on small invented statements. Own definition in `facts/book.py` and the order of routes in
`model/route.py`; numbers by JCGM 100:2008, eq. (10).
"""

from collections.abc import Mapping

import numpy as np
import pytest

from partingline.facts import Book, Derivation, Draws
from partingline.facts.derivations.ports import highest_of
from partingline.facts.draws import Array
from partingline.model import Citation, Component, Interval, Key, Number, Route, Sense, Statement, Text, Value

ALGEBRA = Citation("algebra", "", "C", "algebra")
A, B, C, D, E = (Key.of("unit", name) for name in ("length", "width", "height", "mass", "volume"))


def said(
    key: Key, value: Value | float, route: Route = Route.MEASURED, u: float = 0.0, sense: Sense = Sense.EQUALS
) -> Statement:
    if isinstance(value, float):
        value = Number(value, (Component(f"reading:{key.id}:{route}", u),) if u else ())
    return Statement(key, value, route, sense)


def doubled(*, value: Array) -> Array:
    return 2 * value


def total(*, values: Array) -> Array:
    return np.asarray(values.sum(axis=0))


def from_one(gives: Key, need: Key, **more: object) -> Derivation:
    return Derivation(gives, {"value": need}, doubled, ALGEBRA, **more)  # type: ignore[arg-type]


def test_routes_stand_in_the_order_of_the_design() -> None:
    """DESIGN: measured, captured, photographed, marking, datasheet, label, listing, computed, assumed; spoken never."""
    routes = [Route.SPOKEN, Route.ASSUMED, Route.LISTING, Route.LABEL, Route.DATASHEET, Route.MARKING]
    routes += [Route.PHOTOGRAPHED, Route.CAPTURED, Route.MEASURED]
    fact = Book([said(A, float(n), route) for n, route in enumerate(routes)], [from_one(A, B)]).fact(A)
    assert fact is not None
    assert [statement.route for statement in fact.statements] == routes[::-1]
    with_computed = Book([*(said(A, 1.0, route) for route in routes), said(B, 1.0)], [from_one(A, B)]).fact(A)
    assert with_computed is not None
    assert [s.route for s in with_computed.statements][-3:] == [Route.COMPUTED, Route.ASSUMED, Route.SPOKEN]


def test_of_one_route_a_reading_stands_before_a_bound_and_the_surer_first() -> None:
    statements = [said(A, 3.0, sense=Sense.AT_LEAST), said(A, 1.0, u=0.5), said(A, 2.0, u=0.1)]
    fact = Book(statements).fact(A)
    assert fact is not None
    assert [s.value.value for s in fact.statements if isinstance(s.value, Number)] == [2.0, 1.0, 3.0]


def test_a_person_prefers_another_route_with_a_reason() -> None:
    statements = [said(A, 79.0), said(A, 82.0, Route.MARKING)]
    book = Book(statements, [from_one(B, A)], preferences={A: (Route.MARKING, "read in circuit")})
    fact, follows = book.fact(A), book.fact(B)
    assert fact is not None
    assert follows is not None
    assert (fact.value, fact.preferred_because) == (82.0, "read in circuit")
    assert follows.value == 164.0
    unmet = Book(statements, preferences={A: (Route.DATASHEET, "a wish")}).fact(A)
    assert unmet is not None
    assert (unmet.value, unmet.preferred_because) == (79.0, "")


def test_uncertainty_and_causes_follow_the_inputs_whatever_the_route() -> None:
    for route in (Route.COMPUTED, Route.MEASURED):
        book = Book(
            [said(A, 3.0, u=0.3), said(B, 4.0, u=0.4)], [Derivation(C, {"values": (A, B)}, total, ALGEBRA, route=route)]
        )
        fact = book.fact(C)
        assert fact is not None
        assert fact.value == 7.0
        assert fact.u == pytest.approx(0.5, rel=0.05)
        assert fact.inputs == (A, B)
        assert fact.causes == {f"reading:{A.id}:measured", f"reading:{B.id}:measured"}


def test_only_the_highest_counts_where_one_is_chosen() -> None:
    way = Derivation(C, {"values": (A, B)}, highest_of, ALGEBRA, chosen_from="values")
    fact = Book([said(A, 3.0, u=0.3), said(B, 4.0, u=0.4)], [way]).fact(C)
    assert fact is not None
    assert (fact.value, fact.inputs) == (4.0, (B,))
    assert fact.causes == {f"reading:{B.id}:measured"}


def test_text_arrives_as_text_and_an_interval_as_draws() -> None:
    def shown(*, word: str, span: Array) -> Array:
        assert word == "IIIa"
        return span

    way = Derivation(C, {"word": A, "span": B}, shown, ALGEBRA)
    book = Book([said(A, Text("IIIa")), said(B, Interval(1.0, 3.0))], [way])
    assert book.draws(C)[0] == 2.0
    with pytest.raises(TypeError, match="text and has no draws"):
        book.draws(A)
    with pytest.raises(KeyError):
        book.draws(D)


def test_optional_needs_may_be_absent_and_others_not() -> None:
    def with_rest(*, value: Array, rest: Array | None = None) -> Array:
        return value if rest is None else value + rest

    needs: Mapping[str, Key] = {"value": A, "rest": B}
    optional = Derivation(C, needs, with_rest, ALGEBRA, optional=frozenset({"rest"}))
    fact = Book([said(A, 1.0)], [optional]).fact(C)
    assert fact is not None
    assert (fact.value, fact.inputs) == (1.0, (A,))
    assert Book([said(A, 1.0)], [Derivation(C, needs, with_rest, ALGEBRA)]).fact(C) is None
    assert Book([said(B, 1.0)], [optional]).fact(C) is None


def test_each_fact_is_computed_once() -> None:
    calls: list[int] = []

    def counted(*, value: Array) -> Array:
        calls.append(1)
        return value

    book = Book([said(A, 1.0)], [Derivation(B, {"value": A}, counted, ALGEBRA), from_one(C, B), from_one(D, B)])
    for _ in range(3):
        assert len(book.facts()) == 4
        book.draws(D)
    assert len(calls) == 1


ROUND = [from_one(A, B), Derivation(B, {"value": A}, lambda *, value: value / 2, ALGEBRA)]


@pytest.mark.parametrize("order", [(A, B, C), (C, B, A), (B, A, C)])
def test_a_circle_does_not_feed_itself(order: tuple[Key, ...]) -> None:
    """Two quantities that give each other: each is computed from what is said of the other, whoever is asked first."""
    book = Book([said(A, 3.0)], [*ROUND, from_one(C, B)])
    values = {key: fact.value for key in order if (fact := book.fact(key))}
    assert values == {A: 3.0, B: 1.5, C: 3.0}
    computed = book.fact(A)
    assert computed is not None
    assert len(computed.statements) == 1


@pytest.mark.parametrize("first", [A, B])
def test_a_circle_with_nothing_said_stays_unknown(first: Key) -> None:
    book = Book([], ROUND)
    assert book.fact(first) is None
    assert book.facts() == ()
    assert book.missing(A) != ()


@pytest.mark.parametrize("order", [(A, B), (B, A)])
def test_what_was_computed_from_a_fact_is_no_second_witness_of_it(order: tuple[Key, ...]) -> None:
    """B is only assumed and A comes from B alone: A must not come back as a stronger statement on B."""
    book = Book([said(B, 1.0, Route.ASSUMED)], ROUND)
    for key in order:
        book.fact(key)
    fact = book.fact(B)
    assert fact is not None
    assert [statement.route for statement in fact.statements] == [Route.ASSUMED]


def test_missing_names_the_roots_of_the_shortest_way() -> None:
    ways = [from_one(A, B), from_one(B, C), Derivation(A, {"values": (D, E)}, total, ALGEBRA)]
    assert Book([], ways).missing(A) == (C,)
    assert Book([said(D, 1.0)], [ways[2]]).missing(A) == (E,)
    assert Book([], []).missing(A) == (A,)
    assert Book([said(A, 1.0)], ways).missing(A) == ()


def test_refused_inputs_are_told_and_do_no_harm() -> None:
    def refuses(*, value: Array) -> Array:
        raise ValueError("pollution degree 7: expected 1, 2 or 3")

    book = Book([said(A, 7.0)], [Derivation(B, {"value": A}, refuses, ALGEBRA), from_one(C, A)])
    assert [fact.key for fact in book.facts()] == [C, A]
    assert book.failures == {B: "refuses: pollution degree 7: expected 1, 2 or 3"}


def test_no_number_is_no_fact() -> None:
    """A logarithm of a negative length is none, and a formula that only a few draws survive says nothing."""
    log = Derivation(B, {"value": A}, lambda *, value: np.log(value), ALGEBRA)
    assert Book([said(A, -1.0)], [log]).fact(B) is None
    root = Derivation(B, {"value": A}, lambda *, value: np.where(np.arange(value.size) < 3, value, np.nan), ALGEBRA)
    assert Book([said(A, 1.0)], [root]).fact(B) is None


def test_find_by_quantity_subject_and_conditions() -> None:
    keys = [Key.of("port:C1", "efficiency", mains=mains, load=load) for mains in (115, 230) for load in (0.5, 1)]
    book = Book([said(key, float(n)) for n, key in enumerate(keys)])
    assert [fact.value for fact in book.find("efficiency", "port:", mains=230)] == [2.0, 3.0]
    assert book.find("efficiency", "unit") == ()
    assert book.subjects() == ("port:C1",)


def test_moving_a_cause_moves_what_hangs_on_it() -> None:
    book = Book([said(A, 3.0, u=0.3), said(B, 4.0, u=0.4)], [from_one(C, A), from_one(D, B)])
    moved = book.with_draws(Draws(moved={f"reading:{A.id}:measured": 1.0}))
    assert np.allclose(moved.draws(C), book.draws(C) + 0.6)
    assert np.array_equal(moved.draws(D), book.draws(D))


def test_key_reads_back() -> None:
    """Own definition of the id in `model/key.py`."""
    key = Key.of("port:C1", "current", offer=20, mains=230.0, **{"with": "A1"})
    assert key.id == "port:C1/current@mains=230,offer=20,with=A1"
    assert Key.parse(key.id) == key
    for text in ("mass", "/mass", "unit/", "unit/mass@load"):
        with pytest.raises(ValueError, match="expected"):
            Key.parse(text)
