"""A zener in place of the demonstration's resistor and capacitor clamp: it holds its voltage, and takes the loss."""

import shutil
from pathlib import Path

import pytest

from partingline.facts import Book
from partingline.facts.draws import Draws
from partingline.facts.opened import open_unit
from partingline.model import Key

TERN = Path(__file__).parents[2] / "demo" / "tern-65"
AT = {"mains": 115.0, "offer": 20.0, "load": 1.0}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    root = tmp_path_factory.mktemp("zener") / "tern-65"
    shutil.copytree(TERN, root)
    lines = (root / "parts.csv").read_text("utf-8-sig").splitlines()
    kept = [line for line in lines if not line.startswith(("R11;", "C10;"))]
    zener = 'D1;primary;main;bottom;diode;clamp;;Nimbrel;P170;;"breakdown_voltage 170 V; rated_voltage 170 V";1;SMB;'
    (root / "parts.csv").write_text("\n".join(zener if one.startswith("D1;") else one for one in kept), "utf-8")
    return open_unit(root, Draws(100)).book


def value(book: Book, key: Key) -> float:
    fact = book.fact(key)
    assert fact is not None, key.id
    return fact.value


def test_the_drain_peaks_at_the_zener_above_the_bulk(book: Book) -> None:
    """The overshoot above the plateau is the zener's voltage less the reflected one."""
    overshoot = value(book, Key.of("stage:primary", "clamp_voltage"))
    reflected = value(book, Key.of("stage:primary", "reflected_voltage", offer=20.0))
    assert overshoot == pytest.approx(170 - reflected, abs=0.5)


def test_its_loss_is_the_leakage_energy_with_its_lever(book: Book) -> None:
    """L I²/2 f V / (V - VR), as of any clamp (Erickson; `losses.clamp_loss`), less what the drain takes first."""
    loss = value(book, Key.of("stage:primary", "clamp_loss", **AT))
    leakage = value(book, Key.of("part:T1", "leakage_inductance"))
    frequency = value(book, Key.of("stage:primary", "switching_frequency", **AT))
    reflected = value(book, Key.of("stage:primary", "reflected_voltage", offer=20.0))
    peak = 2.3
    whole = 0.5 * leakage * peak**2 * frequency * 170 / (170 - reflected)
    assert 0.5 * whole < loss < 1.4 * whole


def test_the_range_of_the_trade_s_clamps_is_no_cause_of_it(book: Book) -> None:
    fact = book.fact(Key.of("port:C1", "computed_loss", **AT))
    assert fact is not None
    assert not [cause for cause in fact.causes if "clamp_resistance" in cause or "clamp_capacitance" in cause]
