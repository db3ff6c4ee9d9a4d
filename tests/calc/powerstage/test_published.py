"""Published designs through the full cycle, its parasitics next to nothing as the notes have them; misprints kept."""

import numpy as np
import pytest

from partingline.calc.powerstage.operating_point import at_frequency, in_valley
from partingline.calc.powerstage.stage import Flyback


def ideal(ratio: float, inductance: float, capacitance: float = 1e-15, drop: float = 0.0) -> Flyback:
    """No leakage, no resistance."""
    return Flyback(
        ratio, inductance, 1e-6 * inductance, capacitance, rectifier_drop=drop, clamp_voltage=1e4, leakage_damping=1.0
    )


def test_boundary_mode_of_lt3512() -> None:
    """LT3512 data sheet, pages 16 and 17: 48 V, 15 V 0.2 A, VF 0.5 V, ratio 2, 83 %, 200 µH: 0.39 A and 240 kHz."""
    load = 3.0 / 0.83 / 15.5
    got = in_valley(ideal(2.0, 200e-6, drop=0.5), bulk_voltage=48.0, output_voltage=15.0, output_current=load)
    assert got.peak_current == pytest.approx(0.39, rel=0.02), "printed with two digits; it takes D as 0.39"
    assert got.frequency == pytest.approx(240e3, rel=0.025), "from the rounded 0.39 A"
    assert got.on_time * got.frequency == pytest.approx(0.39, rel=0.01)
    ringing = in_valley(ideal(2.0, 200e-6, 100e-12, 0.5), bulk_voltage=48.0, output_voltage=15.0, output_current=load)
    assert ringing.frequency == pytest.approx(0.82 * got.frequency, rel=0.01), "the omitted half ring, at the same load"
    same_peak = 1 / (1 / got.frequency + np.pi * np.sqrt(200e-6 * 100e-12))
    assert same_peak == pytest.approx(0.909 * got.frequency, rel=0.02), "at the same peak: 9 %"


def test_discontinuous_charger_of_iw1688() -> None:
    """iWatt iW1688, section 10: 93 V, 40 kHz, 2.96 mH, ratio 19.6, 5.7 W x 1.3: 0.355 A, 11.3 µs on, 9.95 µs off."""
    got = at_frequency(
        ideal(19.6, 2.96e-3), bulk_voltage=93.0, output_voltage=5.4, output_current=5.7 * 1.3 / 5.4, frequency=40e3
    )
    assert got.peak_current == pytest.approx(0.355, rel=0.01)
    assert got.on_time == pytest.approx(11.3e-6, rel=0.01)
    assert got.demagnetisation_time == pytest.approx(9.95e-6, rel=0.01)
    assert got.secondary_current * 20 / 19.6 == pytest.approx(2.578, rel=0.01), "there the note rounds the ratio to 20"


def test_continuous_flyback_of_erickson() -> None:
    """Erickson and Maksimovic, 3rd edition, section 11.4: 200 V, 20 V 5 A, 150 kHz, 1.07 mH, n 0.15."""
    got = at_frequency(
        ideal(1 / 0.15, 1.07e-3), bulk_voltage=200.0, output_voltage=20.0, output_current=5.0, frequency=150e3
    )
    assert got.mode == 3
    assert got.peak_current == pytest.approx(1.5, rel=0.005)
    assert got.valley_current == pytest.approx(1.0, rel=0.005)
    assert got.switch_current == pytest.approx(0.796, rel=0.005)
    assert got.secondary_current == pytest.approx(6.50, rel=0.005)


def test_valley_timing_of_an364_and_its_misprint() -> None:
    """Cirrus AN364, eq. 31: 85 kHz, 405 V, 220 V reflected. It prints 4.14 µs and subtracts a ring of 1 µs; the printed
    value comes out without the ring, the equation as printed gives 3.79 µs."""
    stage = ideal(10.0, 1e-3)
    loads = np.linspace(1.0, 12.0, 8000)
    bare = in_valley(stage, bulk_voltage=405.0, output_voltage=22.0, output_current=loads)
    assert np.interp(-85e3, -bare.frequency, bare.on_time) == pytest.approx(4.14e-6, rel=0.001)
    capacitance = (1e-6 / np.pi) ** 2 / 1e-3
    ringing = in_valley(ideal(10.0, 1e-3, capacitance), bulk_voltage=405.0, output_voltage=22.0, output_current=loads)
    known = np.isfinite(ringing.frequency)
    at_85 = np.interp(-85e3, -ringing.frequency[known], (ringing.on_time + 0.5 * ringing.rise_time)[known])
    assert at_85 == pytest.approx(3.79e-6, rel=0.03)
