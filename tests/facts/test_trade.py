"""Ranges of the trade as statements: shown in the budget, and replaced by whatever is known. Own definition."""

import shutil
from pathlib import Path

import pytest

from partingline.facts.budget import budget
from partingline.facts.draws import Draws
from partingline.facts.opened import open_unit
from partingline.model import Key, Route

TERN = Path(__file__).parents[2] / "demo" / "tern-65"
LOSS = Key.of("port:C1", "computed_loss", mains=115.0, offer=20.0, load=1.0)
SHARE = Key.of("stage:primary", "leakage_share")
LEAKAGE = Key.of("part:T1", "leakage_inductance")


def told(tmp_path: Path, more: str) -> Path:
    """The demonstration with something more in its unit.toml; what opens it is the same."""
    root = tmp_path / "tern-65"
    shutil.copytree(TERN, root)
    text = (root / "unit.toml").read_text("utf-8")
    (root / "unit.toml").write_text(f"{text}\n{more}\n", "utf-8")
    return root


def test_ranges_of_the_trade_stand_in_the_budget() -> None:
    book = open_unit(TERN, Draws(400)).book
    found = budget(book, LOSS)
    assert found is not None
    causes = {line.cause for line in found.lines}
    assert {f"assumed:{SHARE.id}", "assumed:model:core/model_factor"} <= causes
    assert book.fact(LEAKAGE).preferred.route is Route.ASSUMED  # type: ignore[union-attr]


def test_what_a_person_assumes_stands_in_place_of_the_range_however_wide(tmp_path: Path) -> None:
    more = f'[assume."{SHARE.id}"]\nvalue = "2 ± 1 %"\nreason = "a wide gap between the windings"'
    book = open_unit(told(tmp_path, more), Draws(50)).book
    fact = book.fact(SHARE)
    assert fact is not None
    assert [s.value.value for s in fact.statements] == [pytest.approx(0.02)]  # type: ignore[union-attr]
    assert book.fact(LEAKAGE).value == pytest.approx(0.02 * 262e-6)  # type: ignore[union-attr]


def test_a_reading_replaces_the_range_and_its_cause(tmp_path: Path) -> None:
    reading = f'[[reading]]\nsubject = "part:T1"\nquantity = "{LEAKAGE.quantity}"\nvalue = "3.1 ± 0.1 µH"'
    root = told(tmp_path, reading)
    book = open_unit(root, Draws(50)).book
    loss = book.fact(LOSS)
    assert loss is not None
    assert f"assumed:{SHARE.id}" not in loss.causes
    assert f"reading:{LEAKAGE.id}:" in loss.causes


def test_an_assumed_figure_has_no_last_digit(tmp_path: Path) -> None:
    root = told(tmp_path, '[assume."unit/prong_share"]\nvalue = "0.05"\nreason = "thin prongs"')
    fact = open_unit(root, Draws(50)).book.fact(Key.of("unit", "prong_share"))
    assert fact is not None
    assert (fact.value, fact.u) == (0.05, 0.0)


def test_a_diode_loses_its_drop_times_the_current(tmp_path: Path) -> None:
    """Q4 made a diode of 0.52 V: at 3.25 A more is lost, by the mean current, than 7.8 mΩ lose; none is synchronous."""
    root = told(tmp_path, "")
    parts = root / "parts.csv"
    text = parts.read_text("utf-8-sig")
    row = next(line for line in text.splitlines() if line.startswith("Q4;"))
    ratings = "rated_voltage 150 V; rated_current 80 A; on_resistance 7,8 mΩ; max_junction_temperature 150 °C"
    diode = row.replace(";transistor;", ";diode;").replace(ratings, "rated_voltage 150 V; forward_voltage 0,52 V")
    assert diode.count("forward_voltage") == 1
    parts.write_text(text.replace(row, diode), "utf-8-sig")
    book, synchronous = open_unit(root, Draws(50)).book, open_unit(TERN, Draws(50)).book
    drop = book.fact(Key.of("stage:secondary", "forward_voltage"))
    assert drop is not None
    assert drop.value == pytest.approx(0.52)
    loss, before = book.fact(LOSS), synchronous.fact(LOSS)
    assert loss is not None
    assert before is not None
    assert "assumed:stage:secondary/hot_resistance_ratio" not in loss.causes
    assert loss.value - before.value == pytest.approx(0.52 * 3.25 - 0.4, abs=0.5)
