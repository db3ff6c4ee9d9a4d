"""The lossless flyback cycles: balances as properties, and how far a circuit simulator with losses lies away."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partingline.calc.flyback import FlybackCycle, continuous_cycle, discontinuous_cycle, quasi_resonant_cycle
from partingline.calc.flyback_design import reflected_voltage

GRID = json.loads((Path(__file__).parent / "ngspice_points.json").read_text(encoding="utf-8"))

BULK = st.floats(80.0, 400.0)
OUTPUT = st.floats(3.3, 28.0)
CURRENT = st.floats(0.2, 5.0)
TURNS = st.floats(3.0, 16.0)
INDUCTANCE = st.floats(100e-6, 3e-3)


def balances(got: FlybackCycle, v: float, vo: float, io: float, n: float, lm: float) -> None:
    """Volt-seconds, charge and energy of one cycle (ideal parts, so to rounding)."""
    vr = reflected_voltage(turns_ratio=n, output_voltage=vo)
    mean_off = (got.peak_current + got.valley_current) / 2
    assert v * got.on_time == pytest.approx(vr * got.demagnetisation_time, rel=1e-9)
    assert v * got.on_time == pytest.approx(lm * (got.peak_current - got.valley_current), rel=1e-6)
    assert n * mean_off * got.demagnetisation_time * got.frequency == pytest.approx(io, rel=1e-9)
    assert v * mean_off * got.on_time * got.frequency == pytest.approx(vo * io, rel=1e-9)
    assert got.on_time + got.demagnetisation_time + got.ring_time == pytest.approx(1 / got.frequency)
    assert got.secondary_current**2 == pytest.approx(got.output_ripple_current**2 + io**2)


@given(BULK, OUTPUT, CURRENT, TURNS, INDUCTANCE, st.floats(0.0, 300e-12), st.integers(1, 5))
def test_quasi_resonant_balances(v: float, vo: float, io: float, n: float, lm: float, c: float, valley: int) -> None:
    got = quasi_resonant_cycle(
        bulk_voltage=v, output_voltage=vo, output_current=io, turns_ratio=n, magnetising_inductance=lm,
        drain_capacitance=c, valley=valley,
    )  # fmt: skip
    balances(got, v, vo, io, n, lm)


@given(BULK, OUTPUT, CURRENT, TURNS, INDUCTANCE, st.floats(20e3, 300e3))
def test_one_of_the_two_fixed_frequency_modes_holds_and_balances(
    v: float, vo: float, io: float, n: float, lm: float, f: float
) -> None:
    same = {"bulk_voltage": v, "output_voltage": vo, "output_current": io, "turns_ratio": n,
            "magnetising_inductance": lm, "frequency": f}  # fmt: skip
    found = [one for one in (discontinuous_cycle(**same), continuous_cycle(**same)) if np.isfinite(one.peak_current)]
    assert found
    for got in found:
        balances(got, v, vo, io, n, lm)
    if len(found) == 2:
        assert found[0].peak_current == pytest.approx(found[1].peak_current, rel=1e-6), "only on the boundary"


def test_a_valley_below_the_first_is_refused() -> None:
    with pytest.raises(ValueError, match="valley 0"):
        quasi_resonant_cycle(
            bulk_voltage=100.0, output_voltage=5.0, output_current=1.0, turns_ratio=10.0,
            magnetising_inductance=1e-3, drain_capacitance=1e-10, valley=0,
        )  # fmt: skip


@pytest.mark.parametrize("point", GRID["points"], ids=lambda p: f"{p['V']:g}V-{p['Vo']:g}V-{p['Io']:g}A")
def test_lossless_form_against_the_circuit_simulator(point: dict[str, float]) -> None:
    """ngspice on our own netlist with leakage, clamp and resistances; the lossless form leaves these out.

    Bounds are those found for the whole grid: frequency 5.6 %, peak 3.5 %, primary 6.3 %, secondary 3.2 %.
    """
    p = GRID["params"]
    got = quasi_resonant_cycle(
        bulk_voltage=point["V"],
        output_voltage=point["Vo"],
        output_current=point["Io"],
        rectifier_drop=0.04,
        turns_ratio=p["n"],
        magnetising_inductance=p["Lm"],
        drain_capacitance=p["Coss"],
    )
    assert got.frequency == pytest.approx(point["f"], rel=0.06)
    assert got.peak_current == pytest.approx(point["Ipk"], rel=0.04)
    assert got.primary_current == pytest.approx(point["Iprms"], rel=0.07)
    assert got.secondary_current == pytest.approx(point["Isrms"], rel=0.04)
