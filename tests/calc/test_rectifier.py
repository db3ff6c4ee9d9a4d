"""The rectifier cycle against independent time-domain integration of its circuit by SciPy, and against itself."""

from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from partingline.calc.mains import (
    RectifierCycle,
    peak_bulk_voltage,
    rectifier_cycle,
    rectifier_cycle_with_source_resistance,
)


def integrated(p: float, c: float, v_rms: float, f: float, drop: float, r: float) -> dict[str, float]:
    """The steady state of a bridge with exponential-free diodes behind a resistance, by an implicit ODE solver."""
    crest, w = np.sqrt(2) * v_rms, 2 * np.pi * f

    def current(t: np.ndarray, v: np.ndarray) -> np.ndarray:
        return np.maximum((crest * abs(np.sin(w * t)) - drop - v) / r, 0.0)

    def rate(t: float, v: np.ndarray) -> np.ndarray:
        return np.asarray((current(t, v) - p / v) / c)

    half = 1 / (2 * f)
    t = np.linspace(4.5 * half, 5.5 * half, 20_001)
    run = solve_ivp(rate, (0.5 * half, 5.5 * half), [crest - drop], method="LSODA", t_eval=t, rtol=1e-8, atol=1e-8,
                    max_step=half / 500)  # fmt: skip
    v = run.y[0]
    i = current(t, v)
    line = np.sqrt(np.trapezoid(i**2, t) / half)
    power_in = np.trapezoid(i * crest * abs(np.sin(w * t)), t) / half
    return {
        "valley_voltage": v.min(),
        "line_peak_current": i.max(),
        "line_current": line,
        "bridge_current": np.trapezoid(i, t) / half,
        "capacitor_current": np.sqrt(np.trapezoid((i - p / v) ** 2, t) / half),
        "conduction_angle": 180.0 * np.mean(i > 0),
        "power_factor": power_in / (v_rms * line),
    }


CASES = [
    (72.22, 82e-6, 90.0, 60.0, 0.0),
    (72.22, 82e-6, 90.0, 60.0, 1.8),
    (72.22, 82e-6, 230.0, 50.0, 1.8),
    (18.0, 22e-6, 115.0, 60.0, 1.4),
]


@pytest.mark.parametrize("case", CASES)
def test_exact_cycle_against_integration_with_a_small_resistance(case: tuple[float, ...]) -> None:
    """Independent reference: SciPy's LSODA on the circuit with 20 mΩ, which moves the results by less than 0.5 %."""
    p, c, v_rms, f, drop = case
    got = rectifier_cycle(power=p, capacitance=c, mains_voltage=v_rms, mains_frequency=f, bridge_drop=drop)
    for name, value in integrated(p, c, v_rms, f, drop, 0.02).items():
        assert getattr(got, name) == pytest.approx(value, rel=8e-3), name
    assert got.valley_voltage == pytest.approx(integrated(p, c, v_rms, f, drop, 0.02)["valley_voltage"], rel=1e-3)


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("resistance", [0.3, 2.5, 10.0])
def test_march_against_integration(case: tuple[float, ...], resistance: float) -> None:
    """Independent reference: SciPy's LSODA on the same circuit."""
    p, c, v_rms, f, drop = case
    got = rectifier_cycle_with_source_resistance(
        power=p, capacitance=c, mains_voltage=v_rms, mains_frequency=f, bridge_drop=drop, source_resistance=resistance
    )
    for name, value in integrated(*case, resistance).items():
        assert getattr(got, name) == pytest.approx(value, rel=2e-3), name


POWER = st.floats(1.0, 150.0)
MICROFARADS = st.floats(0.6, 4.0)  # per watt
MAINS = st.floats(85.0, 265.0)
FREQUENCY = st.sampled_from([50.0, 60.0])
DROP = st.floats(0.0, 2.5)


def cycle(p: float, per_watt: float, v: float, f: float, drop: float) -> RectifierCycle:
    return rectifier_cycle(
        power=p, capacitance=p * per_watt * 1e-6, mains_voltage=v, mains_frequency=f, bridge_drop=drop
    )


@given(POWER, MICROFARADS, MAINS, FREQUENCY, DROP)
def test_energy_and_charge_balance(p: float, per_watt: float, v: float, f: float, drop: float) -> None:
    """What the bridge delivers is what the converter takes: the mean of v·i is the power."""
    got = cycle(p, per_watt, v, f, drop)
    if np.isnan(got.valley_voltage):
        return
    theta = np.linspace(np.radians(got.conduction_start), np.radians(got.conduction_end), 4001)
    bulk = np.sqrt(2) * v * np.sin(theta) - drop
    i = 2 * np.pi * f * p * per_watt * 1e-6 * np.sqrt(2) * v * np.cos(theta) + p / bulk
    assert np.trapezoid(bulk * i, theta) / np.pi == pytest.approx(p, rel=1e-6)
    assert np.trapezoid(i, theta) / np.pi == pytest.approx(got.bridge_current, rel=1e-6)
    assert abs(i[-1]) < 1e-6 * got.line_peak_current
    assert got.line_current**2 == pytest.approx(2 * got.diode_current**2)


@given(POWER, MICROFARADS, MAINS, FREQUENCY, DROP, st.floats(1.02, 1.5))
def test_more_helps_where_it_must(p: float, per_watt: float, v: float, f: float, drop: float, more: float) -> None:
    """Valley rises with capacitance and mains and falls with power; more capacitance narrows the conduction."""
    base, larger, higher = (
        cycle(p, per_watt, v, f, drop),
        cycle(p, per_watt * more, v, f, drop),
        cycle(p, per_watt, v * more, f, drop),
    )
    if np.isnan(base.valley_voltage):
        return
    assert larger.valley_voltage > base.valley_voltage
    assert larger.conduction_angle < base.conduction_angle
    assert higher.valley_voltage > base.valley_voltage
    assert 0 < base.valley_voltage < base.top_voltage
    assert 0 < base.power_factor < 1


def test_no_number_where_the_capacitor_runs_empty() -> None:
    got = rectifier_cycle(power=100.0, capacitance=1e-6, mains_voltage=90.0, mains_frequency=50.0)
    assert all(np.isnan(getattr(got, f.name)) for f in fields(got) if f.name != "top_voltage")
    behind = rectifier_cycle_with_source_resistance(
        power=100.0, capacitance=1e-6, mains_voltage=90.0, mains_frequency=50.0, source_resistance=1.0
    )
    assert np.isnan(behind.valley_voltage)


@settings(max_examples=25, deadline=None)
@given(POWER, MICROFARADS, MAINS, FREQUENCY, st.floats(0.05, 8.0))
def test_resistance_lowers_peak_and_raises_power_factor(
    p: float, per_watt: float, v: float, f: float, resistance: float
) -> None:
    """Where the capacitor keeps at least half its voltage."""
    ideal = cycle(p, per_watt, v, f, 1.6)
    if not ideal.valley_voltage > 0.5 * ideal.top_voltage:
        return
    got = rectifier_cycle_with_source_resistance(
        power=p,
        capacitance=p * per_watt * 1e-6,
        mains_voltage=v,
        mains_frequency=f,
        bridge_drop=1.6,
        source_resistance=resistance,
    )
    assert got.line_peak_current < ideal.line_peak_current * 1.002
    assert got.power_factor > ideal.power_factor * 0.998
    assert got.top_voltage < peak_bulk_voltage(mains_voltage=v, bridge_drop=1.6)
