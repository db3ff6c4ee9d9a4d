"""Relations of currents against sampled waveforms and quadrature."""

import numpy as np
import pytest
from scipy.integrate import quad

from partingline.calc import capacitors, losses, output, supply


def test_inrush_integral_against_quadrature_and_energy() -> None:
    """What flows through R while C charges: I²t of the decay, and R I²t is the energy that C holds afterwards."""
    peak, r, c = 37.3, 10.0, 82e-6
    exact, _ = quad(lambda t: (peak * np.exp(-t / (r * c))) ** 2, 0, 40 * r * c)
    got = supply.inrush_i2t(peak_current=peak, resistance=r, capacitance=c)
    assert got == pytest.approx(exact, rel=1e-6)
    assert r * got == pytest.approx(capacitors.stored_energy(capacitance=c, voltage=peak * r))


def test_clamp_loss_against_integration_of_the_commutation() -> None:
    """The leakage current falls from its peak at (Vclamp - Vreflected)/L, and the clamp takes Vclamp times it."""
    leakage, peak, f, clamp, reflected = 3.5e-6, 1.5, 146.5e3, 220.0, 120.0
    t = np.linspace(0, leakage * peak / (clamp - reflected), 100_001)
    current = peak - (clamp - reflected) / leakage * t
    taken = f * np.trapezoid(clamp * current, t)
    got = losses.clamp_loss(
        leakage_inductance=leakage, peak_current=peak, frequency=f, clamp_voltage=clamp, reflected_voltage=reflected
    )
    assert got == pytest.approx(taken, rel=1e-6)


def test_crossing_loss_against_integration_of_the_edges() -> None:
    """Current falls while voltage rises, both straight, within one time."""
    peak, voltage, fall, f = 0.447, 650.0, 40e-9, 1 / 15e-6
    share = np.linspace(0, 1, 100_001)
    taken = f * fall * np.trapezoid(peak * (1 - share) * voltage * share, share)
    got = losses.crossing_loss(peak_current=peak, voltage=voltage, fall_time=fall, frequency=f)
    assert got == pytest.approx(taken, rel=1e-6)


def test_alternating_part_against_samples() -> None:
    phase = np.linspace(0, 1, 200_001)
    pulse = np.where(phase < 0.4, 9.0 * (1 - phase / 0.4), 0.0)
    mean, rms = np.trapezoid(pulse, phase), np.sqrt(np.trapezoid(pulse**2, phase))
    ripple = np.sqrt(np.trapezoid((pulse - mean) ** 2, phase))
    assert output.alternating_part(total_current=rms, mean_current=mean) == pytest.approx(ripple, rel=1e-6)


def test_discharge_time_and_residual_voltage_undo_each_other() -> None:
    same = {"capacitance": 82e-6, "resistance": 2200.0, "start_voltage": 374.8}
    time = capacitors.discharge_time(**same, safe_voltage=60.0)
    assert time == pytest.approx(0.33, abs=0.005)
    assert capacitors.residual_voltage(**same, time=time) == pytest.approx(60.0)
    assert capacitors.discharge_time(**{**same, "start_voltage": 50.0}, safe_voltage=60.0) == 0.0
