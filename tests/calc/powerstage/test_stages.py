"""The small stages against sampled waveforms, integrals and published relations."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from partingline.calc.mains import rectifier_cycle
from partingline.calc.powerstage import active_clamp, buck, bulk_sharing, burst, capacitance, copper, heat, pfc_boundary
from partingline.calc.powerstage.bulk_average import averaged, bulk_wave
from partingline.calc.powerstage.operating_point import in_valley
from partingline.calc.powerstage.stage import Flyback


@given(st.floats(5.0, 80.0), st.floats(60e-6, 200e-6), st.floats(90.0, 264.0), st.sampled_from([50.0, 60.0]))
def test_the_bulk_wave_is_that_of_the_exact_rectifier_cycle(p: float, c: float, v: float, f: float) -> None:
    wave = bulk_wave(power=p, capacitance=c, mains_voltage=v, mains_frequency=f)
    exact = rectifier_cycle(power=p, capacitance=c, mains_voltage=v, mains_frequency=f)
    assert wave.valley[0] == pytest.approx(exact.valley_voltage, rel=1e-9)
    assert wave.line_current[0] == pytest.approx(exact.line_current, rel=5e-3)
    assert wave.capacitor_current[0] == pytest.approx(exact.capacitor_current, rel=1e-3)
    assert averaged(np.ones_like(wave.voltages), wave.weights) == pytest.approx(1.0)
    assert averaged(p / wave.voltages, wave.weights)[0] == pytest.approx(exact.bridge_current, rel=5e-3)


def test_a_buck_cycle_is_its_sampled_waveform() -> None:
    got = buck.buck_cycle(
        input_voltage=20.0, output_voltage=9.0, output_current=2.0, inductance=10e-6, frequency=400e3,
        high_side_resistance=0.0, low_side_resistance=0.0, winding_resistance=0.0,
    )  # fmt: skip
    t = (np.arange(100_000) + 0.5) / 100_000
    up = t < got.duty
    current = 2.0 + got.ripple * np.where(up, t / got.duty - 0.5, 0.5 - (t - got.duty) / (1 - got.duty))
    assert got.inductor_current == pytest.approx(np.sqrt(np.mean(current**2)), rel=1e-4)
    assert got.high_side_current == pytest.approx(np.sqrt(np.mean((current * up) ** 2)), rel=1e-4)
    drawn = current * up - np.mean(current * up)
    assert got.input_capacitor_current == pytest.approx(np.sqrt(np.mean(drawn**2)), rel=1e-4)
    assert got.duty * 20.0 == pytest.approx(9.0)


def test_a_buck_cannot_step_up() -> None:
    got = buck.buck_cycle(
        input_voltage=8.0, output_voltage=9.0, output_current=1.0, inductance=10e-6, frequency=400e3,
        high_side_resistance=0.01, low_side_resistance=0.01, winding_resistance=0.01,
    )  # fmt: skip
    assert np.isnan(got.duty)


@given(st.floats(40.0, 200.0), st.floats(90.0, 264.0))
def test_a_boundary_boost_passes_its_power_on(p: float, v: float) -> None:
    got = pfc_boundary.boundary_boost(input_power=p, mains_voltage=v, bulk_voltage=400.0, inductance=400e-6)
    assert got.switch_current**2 + got.diode_current**2 == pytest.approx(got.inductor_current**2, rel=1e-9)
    assert got.line_current * v == pytest.approx(p)
    assert got.lowest_frequency < got.highest_frequency <= 1 / got.on_time


def test_curves_are_integrated_as_quadrature_does() -> None:
    v, c = [0.0, 20.0, 50.0, 400.0], [900e-12, 300e-12, 60e-12, 40e-12]

    def curve(x: float) -> float:
        return float(np.exp(np.interp(x, v, np.log(c))))

    energy = quad(lambda x: x * curve(x), 0, 320, points=[20.0, 50.0])[0]
    charge = quad(curve, 0, 320, points=[20.0, 50.0])[0]
    at = {"voltages": v, "capacitances": c, "voltage": 320.0}
    assert capacitance.stored_in_curve(**at) == pytest.approx(energy, rel=2e-4)
    assert capacitance.energy_equivalent(**at) == pytest.approx(2 * energy / 320**2, rel=2e-4)
    assert capacitance.charge_equivalent(**at) == pytest.approx(charge / 320, rel=2e-4)
    with pytest.raises(ValueError, match="voltages rising"):
        capacitance.stored_in_curve(voltages=[0.0, 0.0], capacitances=c[:2], voltage=1.0)


def test_layers_lose_what_the_field_equation_says() -> None:
    """One-dimensional diffusion in foils solved exactly layer by layer (complex field), fields given at both faces."""
    h, f, layers = 0.3e-3, 150e3, 3
    depth = copper.skin_depth(frequency=f)
    k = (1 + 1j) / depth
    loss = 0.0
    for m in range(1, layers + 1):
        low, high = float(m - 1), float(m)
        x = np.linspace(0, h, 20001)
        field = (high * np.sinh(k * x) + low * np.sinh(k * (h - x))) / np.sinh(k * h)
        loss += np.trapezoid(np.abs(np.gradient(field, x)) ** 2, x)
    direct = layers * h * (1 / h) ** 2
    assert copper.layer_factor(thickness=h, layers=layers, frequency=f) == pytest.approx(loss / direct, rel=1e-3)


def test_harmonics_add_up_to_the_sampled_waveform() -> None:
    """30 harmonics of a triangle and its edge, by FFT of a sampled one."""
    share, edge, f, h, layers = 0.4, 0.02, 100e3, 0.25e-3, 3.0
    t = (np.arange(2**16) + 0.5) / 2**16
    wave = np.where(t < share, t / share, np.clip(1 - (t - share) / edge, 0, None))
    lines = np.abs(np.fft.rfft(wave) / len(t)) ** 2
    order = np.arange(1, 400)
    factors = copper.layer_factor(thickness=h, layers=layers, frequency=order * f)
    loss = lines[0] + 2 * np.sum(lines[order] * factors)
    got = copper.waveform_factor(share=share, edge_share=edge, frequency=f, thickness=h, layers=layers)
    assert got == pytest.approx(loss / np.mean(wave**2), rel=0.02)
    plain = copper.alternating_share(share=share)
    triangle = np.where(t < share, t / share, 0.0)
    assert plain == pytest.approx(1 - triangle.mean() ** 2 / np.mean(triangle**2), rel=1e-3)


@pytest.mark.parametrize(
    ("height", "surface", "ambient", "coefficient"),
    [(0.0284, 70.0, 25.0, 8.268575787), (0.042, 77.0, 25.0, 7.712714920), (0.5, 80.0, 20.0, 5.542797114)],
)
def test_convection_against_an_open_library(height: float, surface: float, ambient: float, coefficient: float) -> None:
    """ht 1.2.0 (PyPI), `Nu_vertical_plate_Churchill`, with the same properties of air."""
    got = heat.convection_coefficient(height=height, surface_temperature=surface, ambient_temperature=ambient)
    assert got == pytest.approx(coefficient, rel=1e-8)


@pytest.mark.parametrize(
    ("height", "surface", "ambient", "by_faces"),
    [(0.0284, 70.0, 25.0, 8.289), (0.03, 70.0, 25.0, 7.852), (0.03, 60.0, 20.0, 7.423), (0.08, 77.0, 40.0, 6.450)],
)
def test_one_plate_for_all_faces_is_within_the_assumed_error(
    height: float, surface: float, ambient: float, by_faces: float
) -> None:
    """Boxes of 42 x 40, 60 x 60, 100 x 60 and 50 x 30 mm face by face: ht 1.2.0, sides by Churchill and Chu, top and
    bottom by McAdams (`Nu_horizontal_plate_McAdams`); 25 % is the half-width of `model:convection`."""
    got = heat.convection_coefficient(height=height, surface_temperature=surface, ambient_temperature=ambient)
    assert got == pytest.approx(by_faces, rel=0.25)


def test_turbulent_convection_does_not_hang_on_the_height() -> None:
    """Ra^(1/3) in the turbulent limit of the correlation."""
    tall = [
        heat.convection_coefficient(height=x, surface_temperature=80.0, ambient_temperature=20.0) for x in (5.0, 10.0)
    ]
    assert tall[1] == pytest.approx(tall[0], rel=0.06)


@given(st.floats(1.0, 30.0), st.floats(3e-3, 3e-2))
def test_the_surface_temperature_gives_off_the_loss(loss: float, area: float) -> None:
    at = {"area": area, "height": 0.05, "emissivity": 0.9, "ambient_temperature": 25.0}
    t = heat.surface_temperature(loss=loss, **at)
    if np.isfinite(t):
        assert heat.case_heat(surface_temperature=t, **at) == pytest.approx(loss, rel=1e-6)


def test_switching_current_stays_before_the_choke() -> None:
    """The demonstration's values: 82 µF near, 27 µF beyond 47 µH. Kirchhoff."""
    at = {"near_capacitance": 82e-6, "near_resistance": 0.1, "far_capacitance": 27e-6, "far_resistance": 0.3,
          "choke_inductance": 47e-6}  # fmt: skip
    assert bulk_sharing.far_share(frequency=100.0, **at) == pytest.approx(27 / 109, rel=0.01)
    assert bulk_sharing.far_share(frequency=100e3, **at) < 0.01


def test_the_least_load_is_where_the_solver_stops() -> None:
    """Without leakage and loss the closed form is the solver's own floor."""
    stage = Flyback(6.0, 350e-6, 1e-9, 120e-12, clamp_voltage=5000.0, leakage_damping=1.0)
    floor = burst.least_load(
        bulk_voltage=325.0, reflected_voltage=120.0, drain_capacitance=120e-12, inductance=350e-6, turns_ratio=6.0
    )
    at = {"bulk_voltage": 325.0, "output_voltage": 20.0}
    assert np.isfinite(in_valley(stage, output_current=1.02 * floor, **at).frequency)
    assert np.isnan(in_valley(stage, output_current=0.97 * floor, **at).frequency)


def test_an_active_clamp_returns_between_all_and_nothing() -> None:
    got = active_clamp.active_clamp_bounds(
        bulk_voltage=325.0, reflected_voltage=120.0, leakage_inductance=4e-6, clamp_capacitance=100e-9,
        peak_current=2.0, frequency=100e3,
    )  # fmt: skip
    assert (got.least_loss, got.most_loss) == (0.0, pytest.approx(0.8))
    assert got.most_drain_voltage > got.least_drain_voltage == 445.0
