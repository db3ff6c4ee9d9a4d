"""The power at which parts reach their ratings, against hand arithmetic on the demonstration's own figures."""

from pathlib import Path

import pytest

from partingline.facts import Book
from partingline.facts.draws import Draws
from partingline.facts.opened import open_unit
from partingline.model import Key, Route

AT = {"mains": 115.0, "offer": 20.0, "load": 1.0}


@pytest.fixture(scope="module")
def book() -> Book:
    return open_unit(Path(__file__).parents[2] / "demo" / "tern-65", Draws(200)).book


def value(book: Book, key: Key) -> float:
    fact = book.fact(key)
    assert fact is not None, key.id
    return fact.value


def test_ratings_of_parallel_parts_add_up(book: Book) -> None:
    """parts.csv: C15 and C16 carry 4.2 A each; power 65 W."""
    ripple = value(book, Key.of("stage:secondary", "output_ripple_current", mains=90.0, offer=20.0))
    carried = value(book, Key.of("unit", "carried_power", state="current of C15 and C16"))
    assert carried == pytest.approx(65 * 2 * 4.2 / ripple)


def test_a_rise_grows_with_the_power(book: Book) -> None:
    """C4: rated 105 °C, read 82.9 °C at full load, at the ambient of that record."""
    room = value(book, Key.of("unit", "ambient_temperature", **AT))
    carried = value(book, Key.of("unit", "carried_power", state="temperature of C4"))
    assert carried == pytest.approx(65 * (105 - room) / (82.9 - room))


def test_the_junction_is_above_its_package_by_loss_times_resistance(book: Book) -> None:
    losses = [value(book, Key.of("stage:primary", item, **AT)) for item in ("conduction_loss", "switching_loss")]
    key = Key.of("part:Q1", "junction_temperature", **AT)
    assert value(book, key) == pytest.approx(95.2 + 5.0 * sum(losses))
    resistance = book.fact(Key.of("part:Q1", "thermal_resistance"))
    assert resistance is not None
    assert resistance.preferred.route is Route.ASSUMED
