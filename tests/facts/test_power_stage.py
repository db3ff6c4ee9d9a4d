"""The demonstration's computed losses beside the measured ones, and its hidden items within their bands."""

import sys
from pathlib import Path

import pytest

from partingline.facts import Book
from partingline.facts.draws import Draws
from partingline.facts.opened import open_unit
from partingline.model import Key, Standing

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "demo"))
AT = {"mains": 115.0, "offer": 20.0, "load": 1.0}


@pytest.fixture(scope="module")
def book() -> Book:
    return open_unit(ROOT / "demo" / "tern-65", Draws(400)).book


def test_the_frequency_by_two_routes_agrees(book: Book) -> None:
    fact = book.fact(Key.of("stage:primary", "switching_frequency", **AT))
    assert fact is not None
    assert len(fact.statements) == 2
    assert set(fact.standings) == {Standing.SUPPORTED}


@pytest.mark.parametrize("mains", [115.0, 230.0])
@pytest.mark.parametrize("load", [0.25, 0.5, 0.75, 1.0])
def test_the_residual_lies_within_its_band(book: Book, mains: float, load: float) -> None:
    fact = book.fact(Key.of("port:C1", "residual_loss", mains=mains, offer=20.0, load=load))
    assert fact is not None
    assert abs(fact.value) <= 2 * fact.u


@pytest.mark.parametrize("offer", [5.0, 20.0])
@pytest.mark.parametrize("load", [0.25, 0.5, 0.75, 1.0])
def test_efficiency_is_known_by_two_routes(book: Book, offer: float, load: float) -> None:
    """Measured at the terminals, and computed from the parts: at each offer and load they support each other."""
    for mains in (115.0, 230.0):
        fact = book.fact(Key.of("port:C1", "efficiency", mains=mains, offer=offer, load=load))
        assert fact is not None
        assert len(fact.statements) == 2
        assert set(fact.standings) == {Standing.SUPPORTED}


def test_hidden_loss_items_lie_within_their_bands(book: Book) -> None:
    from model.physics import Mains, operate

    hidden = operate(Mains(115.0, 60.0), 20.0, 3.25).losses
    pairs = {
        Key.of("part:T1", "core_loss", **AT): hidden["transformer core"],
        Key.of("part:T1", "copper_loss", **AT): hidden["transformer copper"],
        Key.of("stage:primary", "clamp_loss", **AT): hidden["clamp"],
        Key.of("stage:primary", "switching_loss", **AT): hidden["switch turn-on"],
    }
    for key, watts in pairs.items():
        fact = book.fact(key)
        assert fact is not None, key.id
        assert abs(fact.value - watts) <= 2.5 * fact.u, key.id


def test_the_case_is_known_by_two_routes(book: Book) -> None:
    at_25, at_40 = (book.fact(Key.of("unit", "sustained_power", state=f"{t} °C ambient")) for t in (25, 40))
    assert at_25 is not None
    assert at_40 is not None
    assert len(at_25.statements) == 2
    assert at_40.value < at_25.value


def test_the_case_gives_off_what_is_lost(book: Book) -> None:
    given, lost = (book.fact(Key.of(*one, **AT)) for one in (("unit", "case_heat"), ("port:C1", "loss")))
    assert given is not None
    assert lost is not None
    assert abs(given.value - lost.value) <= 2 * given.u
    evenness = book.fact(Key.of("unit", "surface_evenness"))
    assert evenness is not None
    assert len(evenness.statements) == 2
    assert 0.8 < evenness.value < 1


def test_no_flux_without_turns(book: Book) -> None:
    key = Key.of("part:T1", "flux_density", mains=90.0, offer=20.0)
    assert book.fact(key) is None
    assert {missing.quantity for missing in book.missing(key)} == {"primary_turns", "core_area"}
