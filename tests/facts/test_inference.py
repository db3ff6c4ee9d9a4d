"""Reading the design backwards in a unit: the demonstration's hidden converter, its causes, what to measure next.

The demonstration's physics (`demo/model`) is another model, a lossless cycle at the mean bulk voltage; its hidden
values are those of `demo/model/truth.py`, from which `demo/make.py` makes the unit.
"""

import sys
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from partingline.facts import Book
from partingline.facts.derivations import derivations
from partingline.facts.derivations.design import Design
from partingline.facts.draws import Draws
from partingline.facts.opened import Opened, open_unit
from partingline.findings import Case, run
from partingline.findings.stage.design_known import design_known
from partingline.model import Component, Key, Number, Route, Standing, Statement, Verdict

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "demo"))

from model.physics import Mains, operate, ripple  # noqa: E402
from model.truth import CONVERTER  # noqa: E402

RATIO, INDUCTANCE = Key.of("part:T1", "turns_ratio"), Key.of("part:T1", "magnetising_inductance")
CAPACITANCE = Key.of("stage:primary", "drain_capacitance")
PRIMARY, SECONDARY = (Key.of("part:T1", f"{side}_winding_resistance") for side in ("primary", "secondary"))
TRUTH = {
    RATIO: CONVERTER.primary_turns / CONVERTER.secondary_turns,
    INDUCTANCE: CONVERTER.magnetising_inductance,
    CAPACITANCE: CONVERTER.drain_capacitance,
    PRIMARY: CONVERTER.primary_copper,
    SECONDARY: CONVERTER.secondary_copper,
}
FREQUENCY = {115.0: 60.0, 230.0: 50.0}


@cache
def demo() -> Opened:
    return open_unit(ROOT / "demo" / "tern-65", Draws(400))


def said(opened: Opened) -> list[Statement]:
    keys = {key for fact in opened.book.facts() for key in (fact.key,)}
    found = [s for key in keys for s in opened.book.fact(key).statements]  # type: ignore[union-attr]
    return [s for s in found if s.basis is None or (s.route is Route.ASSUMED and not s.basis.inputs)]


def remade(statements: list[Statement], draws: int = 400) -> Book:
    return Book(statements, derivations(demo().unit, statements), draws=Draws(draws))


def inferred(book: Book, key: Key) -> np.ndarray:
    design = book.record(key, Design)
    assert design is not None, key.id
    names = {PRIMARY: "primary_winding", SECONDARY: "secondary_winding"}
    return np.asarray(getattr(design, names.get(key, key.quantity)))


def test_a_bench_reading_and_the_design_read_backwards_support_each_other() -> None:
    for key in (RATIO, INDUCTANCE):
        fact = demo().book.fact(key)
        assert fact is not None
        assert [s.route for s in fact.statements] == [Route.MEASURED, Route.COMPUTED]
        assert set(fact.standings) == {Standing.SUPPORTED}


def test_what_nobody_read_is_taken_from_the_readings_before_the_trade() -> None:
    fact = demo().book.fact(CAPACITANCE)
    assert fact is not None
    assert fact.preferred.route is Route.COMPUTED
    assumed = next(s for s in fact.statements if s.route is Route.ASSUMED)
    assert isinstance(assumed.value, Number)
    assert fact.u < 0.9 * assumed.value.u, "the readings narrow the range of the trade"
    assert abs(fact.value - TRUTH[CAPACITANCE]) < 2 * fact.u


def test_a_wrong_turns_ratio_is_contradicted() -> None:
    """A slip of the pen, 6.9 for 5.34: the readings do not carry it, and the slip does not reach what they tell."""
    wrong = [
        replace(s, value=Number(6.9, s.value.components)) if s.key == RATIO and isinstance(s.value, Number) else s
        for s in said(demo())
    ]
    fact = remade(wrong).fact(RATIO)
    assert fact is not None
    assert fact.value == 6.9
    assert Standing.CONTRADICTED in fact.standings
    there = inferred(demo().book, RATIO)[0]
    assert fact.statements[1].value.value == pytest.approx(there, rel=1e-6)  # type: ignore[union-attr]


def test_the_readings_alone_tell_the_design() -> None:
    """Without bench readings of the transformer: every unknown within its band, and wider than with them."""
    bare = remade([s for s in said(demo()) if s.key not in (RATIO, INDUCTANCE)])
    for key, hidden in TRUTH.items():
        drawn = np.log(inferred(bare, key))
        assert abs(drawn[0] - np.log(hidden)) < 2 * drawn[1:].std(), key.id
    assert np.log(inferred(bare, RATIO))[1:].std() > 2 * np.log(inferred(demo().book, RATIO))[1:].std()


def test_the_ring_of_the_drain_would_tell_its_capacitance() -> None:
    """Known inductance and the ring's period give the capacitance: T = 2 pi sqrt(L C)."""
    design = demo().book.record(CAPACITANCE, Design)
    assert design is not None
    best = design.gains[0]
    assert "ring" in best.name
    assert best.narrows == "drain_capacitance"
    assert best.left["drain_capacitance"] < 0.4


def fresh(rng: np.random.Generator) -> Iterator[Statement]:
    """The unit's statements with what the simulated bench reads, each with fresh noise of its own size."""
    for statement in said(demo()):
        value, at = statement.value, dict(statement.key.at)
        hidden = _hidden(statement.key.quantity, statement.key.subject, at)
        if hidden is None or not isinstance(value, Number):
            yield statement
        else:
            yield replace(statement, value=Number(hidden + rng.normal(0, value.u), value.components))


def _hidden(quantity: str, subject: str, at: dict[str, float | str]) -> float | None:
    if (
        set(at) != {"mains", "offer", "load"}
        or at["offer"] != 20.0
        or at["mains"] not in FREQUENCY
        or at["load"] == 0.0
    ):
        return None
    mains = float(at["mains"])
    seen = operate(Mains(mains, FREQUENCY[mains]), 20.0, 3.25 * float(at["load"]))
    told = {
        ("port:C1", "input_power"): seen.input_power,
        ("port:C1", "ripple_voltage"): ripple(seen),
        ("stage:primary", "switching_frequency"): seen.frequency,
    }
    return told.get((subject, quantity))


def coverage(repetitions: int, bare: bool, draws: int = 200) -> dict[str, float]:
    """The share of repetitions whose 90 % interval holds the hidden value."""
    hits = dict.fromkeys(TRUTH, 0)
    for repetition in range(repetitions):
        rng = np.random.default_rng(500 + repetition)
        book = remade([s for s in fresh(rng) if not (bare and s.key in (RATIO, INDUCTANCE))], draws)
        for key, hidden in TRUTH.items():
            low, high = np.quantile(inferred(book, key), [0.05, 0.95])
            hits[key] += low <= hidden <= high
    return {key.id: count / repetitions for key, count in hits.items()}


@pytest.mark.parametrize("bare", [False, True], ids=["with the bench's turns and inductance", "without"])
def test_the_posterior_covers_the_hidden_values(bare: bool) -> None:
    assert min(coverage(4, bare).values()) >= 0.75


@pytest.mark.prove
@pytest.mark.timeout(3000)
@pytest.mark.parametrize("bare", [False, True], ids=["with the bench's turns and inductance", "without"])
def test_the_posterior_covers_the_hidden_values_in_200_repetitions(bare: bool) -> None:
    found = coverage(200, bare)
    assert min(found.values()) >= 0.9, found


def test_a_ring_that_was_read_settles_the_capacitance_and_what_to_measure() -> None:
    """94 pF in a ring with 262 µH and a leakage of 0.8 %: T = 2 pi sqrt(264.1 µH x 94 pF) = 0.990 µs."""
    unread = run(Case(demo().unit, demo().book), [design_known])
    assert [finding.verdict for finding in unread] == [Verdict.NOT_ENOUGH_DATA]
    assert "ring" in unread[0].next_step
    ring = Statement(
        Key.of("stage:primary", "ring_period"), Number(0.990e-6, (Component("scope", 5e-9),)), Route.MEASURED
    )
    book = remade([*said(demo()), ring])
    fact = book.fact(CAPACITANCE)
    assert fact is not None
    assert fact.value == pytest.approx(94e-12, rel=0.005)
    assert fact.u < 0.03 * fact.value
    assert [finding.verdict for finding in run(Case(demo().unit, book), [design_known])] == [Verdict.MEETS]
