"""Ripple and life of the demonstration's capacitors against circuit laws and published formulas."""

from pathlib import Path

import numpy as np
import pytest

from partingline.facts import Book
from partingline.facts.derivations.life_ripple import across_the_choke, life_with_ripple
from partingline.facts.draws import Draws
from partingline.facts.opened import open_unit
from partingline.model import Key

AT = {"mains": 115.0, "offer": 20.0, "load": 1.0}


@pytest.fixture(scope="module")
def book() -> Book:
    return open_unit(Path(__file__).parents[2] / "demo" / "tern-65", Draws(50)).book


def value(book: Book, subject: str, quantity: str, **at: float) -> float:
    fact = book.fact(Key.of(subject, quantity, **at))
    assert fact is not None, quantity
    return fact.value


def test_the_capacitors_shares_add_up_to_the_ripple(book: Book) -> None:
    """Kirchhoff: in phase at 120 Hz, where the choke of 47 µH is nothing."""
    shares = [value(book, f"part:{ref}", "line_ripple_current", **AT) for ref in ("C3", "C4")]
    assert sum(shares) == pytest.approx(value(book, "stage:input", "bulk_ripple_current", mains=115.0), rel=1e-9)


def test_behind_the_choke_the_capacitor_takes_the_converter_s_ripple(book: Book) -> None:
    before, behind = (value(book, f"part:{ref}", "switching_ripple_current", **AT) for ref in ("C3", "C4"))
    assert before < 0.01 * behind
    primary = value(book, "stage:primary", "primary_current", mains=115.0, offer=20.0)
    assert behind < primary


def test_without_a_choke_both_share_by_capacitance() -> None:
    one = np.ones(2)
    given = {"primary": 2.0 * one, "power": 100.0 * one, "voltage": 100.0 * one, "is_far": False}
    part = across_the_choke(own=27e-6 * one, side=np.array([27e-6 * one, 82e-6 * one]), **given)
    assert part[0] == pytest.approx(np.sqrt(3.0) * 27 / 109, rel=1e-9)


def test_the_ripple_formula_with_its_heat_outside_the_can() -> None:
    """Rubycon: 2000 h, 105 °C at 65 °C of air and half the ripple give 43 480 h; the case is warmer by its own rise."""
    one = np.ones(2)
    found = life_with_ripple(
        rated_life=2000.0 * one, rated_temperature=105.0 * one, case=(65.0 + 1.25 / 1.3) * one,
        rated_ripple_current=one, core_over_case=1.3 * one, switching=0.0 * one, line=0.5 * one,
    )  # fmt: skip
    assert found[0] == pytest.approx(43_480, rel=1e-3)


def test_two_models_stand_side_by_side_within_a_factor_of_two(book: Book) -> None:
    """Two published models may differ twofold on one capacitor; neither may be left out."""
    for ref in ("C3", "C4"):
        plain, ripple = (value(book, f"part:{ref}", name, **AT) for name in ("bulk_life", "ripple_life"))
        assert 0.5 < ripple / plain < 2.0


def test_the_warm_thermistor_is_that_of_the_simulation(book: Book) -> None:
    """`demo/model/truth.py`: 0.70 Ω in steady run; computed without knowing it."""
    fact = book.fact(Key.of("part:RT1", "warm_resistance", mains=115.0))
    assert fact is not None
    assert abs(fact.value - 0.70) < 2 * fact.u


def test_the_ripple_at_both_frequencies_counts_against_the_rating(book: Book) -> None:
    """C4: 0.794 A of the mains and 0.702 A of the converter, whose rating is 1.4 times as high, on 1.55 A."""
    fact = book.fact(Key.of("part:C4", "rating_used", state="ripple current", **AT))
    assert fact is not None
    assert fact.value == pytest.approx(np.hypot(0.7943, 0.702 / 1.4) / 1.55, rel=2e-3)
