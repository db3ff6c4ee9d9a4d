"""The curves of a cycle, beside a circuit simulator's, and in balance.

Outside source: ngspice (Debian) on our own netlist, `tests/reference/ngspice_waveforms.json`. Balances: volt-seconds of
an inductance in the steady state are nothing (Erickson and Maksimovic, Fundamentals of Power Electronics, 2.3).
"""

import json
from typing import Any

import numpy as np
import pytest

from partingline.calc.powerstage.waveform import Waveform, waveform
from tests.reference import ngspice

FOLDER = ngspice.Path(__file__).parents[2] / "reference"
POINTS = json.loads((FOLDER / "ngspice_waveforms.json").read_text(encoding="utf-8"))["points"]
GRID = ngspice.read(FOLDER / "ngspice_grid.json")


def drawn(point: dict[str, Any]) -> tuple[Waveform, Any]:
    """The model's curves at a point, and its cycle."""
    mode = {name: point[name] for name in ("valley", "frequency") if name in point}
    cycle = ngspice.cycle_of(point["params"], point["V"], point["Vo"], point["Io"], mode)
    stage = ngspice.stage_of(point["params"], point["Io"])
    return waveform(stage, cycle, bulk_voltage=point["V"], output_voltage=point["Vo"]), cycle


@pytest.mark.parametrize("point", POINTS, ids=lambda one: f"{one['V']:g}V {one['Io']:.1f}A")
@pytest.mark.parametrize("name", ["drain", "primary", "secondary"])
def test_curves_lie_on_those_of_a_circuit_simulator(point: dict[str, Any], name: str) -> None:
    curves, _ = drawn(point)
    time = np.array(point["curves"]["time"])
    theirs = np.array(point["curves"][name])
    ours = np.interp(time, curves.time, getattr(curves, name))
    off = np.abs(ours - theirs) / np.ptp(theirs)
    # The leakage ring's phase is not told by energy; away from it the curves agree.
    assert np.median(off) < 0.003
    assert np.quantile(off, 0.9) < 0.04


@pytest.mark.parametrize("point", GRID, ids=lambda one: f"{one['V']:g}V {one['Vo']:g}V {one['Io']:.1f}A")
def test_every_point_of_the_grid_is_in_balance(point: dict[str, Any]) -> None:
    curves, cycle = drawn(point)
    stage = ngspice.stage_of(point["params"], point["Io"])

    def mean(values: Any) -> float:
        return float(np.trapezoid(values, curves.time) / curves.period)

    assert curves.period * float(cycle.frequency) == pytest.approx(1, abs=1e-6)
    across = mean(curves.drain) + float(stage.primary_winding_resistance) * mean(curves.primary)
    assert across == pytest.approx(point["V"], rel=0.005)
    assert mean(curves.secondary) == pytest.approx(point["Io"], rel=0.01)
    assert curves.drain.max() == pytest.approx(float(cycle.drain_peak_voltage), rel=0.01)
    assert curves.drain[-1] == pytest.approx(float(cycle.turn_on_voltage), abs=0.5)


def test_cycles_in_a_row_go_on_in_time() -> None:
    curves, _ = drawn(POINTS[0])
    twice = curves.repeated(2)
    assert np.all(np.diff(twice.time) >= -1e-15)
    assert twice.time[-1] == pytest.approx(2 * curves.period)


def test_no_cycle_has_no_curves() -> None:
    stage = ngspice.stage_of({}, 3.0)
    none = ngspice.cycle_of({}, 325.0, 20.0, 1e-4, {"valley": 1})
    with pytest.raises(ValueError, match="no waveform"):
        waveform(stage, none, bulk_voltage=325.0, output_voltage=20.0)
