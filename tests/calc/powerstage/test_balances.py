"""What must hold of every cycle: energy, volt-seconds, charge, and honesty where there is none.

No source but conservation laws: the inputs are drawn freely.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partingline.calc.flyback import quasi_resonant_cycle
from partingline.calc.powerstage import modes
from partingline.calc.powerstage.control import Controller, run
from partingline.calc.powerstage.cycle import Cycle
from partingline.calc.powerstage.operating_point import at_frequency, at_peak, in_valley
from partingline.calc.powerstage.ramp import ramp
from partingline.calc.powerstage.stage import Flyback

BULK, OUTPUT, LOAD = st.floats(90.0, 390.0), st.floats(5.0, 24.0), st.floats(0.8, 4.0)
STAGES = st.builds(
    Flyback,
    turns_ratio=st.floats(4.5, 9.0), magnetising_inductance=st.floats(150e-6, 600e-6),
    leakage_inductance=st.floats(1e-6, 3.7e-6), drain_capacitance=st.floats(40e-12, 200e-12),
    switch_resistance=st.floats(0.0, 0.6), primary_winding_resistance=st.floats(0.0, 0.3),
    secondary_winding_resistance=st.floats(0.0, 8e-3), rectifier_resistance=st.floats(0.0, 8e-3),
    rectifier_drop=st.floats(0.0, 0.5), output_esr=st.floats(0.0, 8e-3), clamp_resistance=st.floats(15e3, 80e3),
    clamp_capacitance=st.just(4.7e-9), ring_quality=st.floats(8.0, 60.0), leakage_damping=st.floats(1e3, 4e3),
)  # fmt: skip


def losses(stage: Flyback, cycle: Cycle, vo: float, io: float) -> float:
    """Every watt that the circuit of the model turns into heat."""
    loop = stage.secondary_winding_resistance + stage.rectifier_resistance
    return float(
        stage.on_resistance * cycle.switch_current**2
        + loop * cycle.secondary_current**2
        + stage.output_esr * (cycle.secondary_current**2 - io**2)
        + stage.rectifier_drop * io
        + cycle.clamp_loss + cycle.leakage_ring_loss + cycle.turn_on_loss + cycle.ring_loss
    )  # fmt: skip


def balances(stage: Flyback, cycle: Cycle, v: float, vo: float, io: float) -> None:
    given_away = vo * io + losses(stage, cycle, vo, io)
    assert given_away == pytest.approx(cycle.input_power, rel=1e-3)
    assert cycle.output_current == pytest.approx(io, rel=2e-5)
    parts = cycle.on_time + cycle.rise_time + cycle.demagnetisation_time + cycle.ring_time
    wait = stage.leakage_inductance * cycle.valley_current / (v + cycle.reflected_voltage)
    assert parts + wait == pytest.approx(1 / cycle.frequency, rel=1e-4)
    assert cycle.secondary_current >= io
    assert cycle.winding_current >= cycle.switch_current


@given(STAGES, BULK, OUTPUT, LOAD, st.integers(1, 4))
def test_energy_balances_in_valley_switching(stage: Flyback, v: float, vo: float, io: float, valley: int) -> None:
    cycle = in_valley(stage, bulk_voltage=v, output_voltage=vo, output_current=io, valley=valley)
    if cycle.mode:
        balances(stage, cycle, v, vo, io)
    else:
        assert cycle.reason == modes.BELOW_FLOOR


@given(STAGES, BULK, OUTPUT, LOAD, st.floats(40e3, 160e3))
def test_energy_balances_on_a_clock(stage: Flyback, v: float, vo: float, io: float, f: float) -> None:
    cycle = at_frequency(
        stage, bulk_voltage=v, output_voltage=vo, output_current=io, frequency=f, slope_compensated=True
    )
    assert cycle.mode in (modes.DISCONTINUOUS, modes.CONTINUOUS)
    balances(stage, cycle, v, vo, io)


@given(st.floats(0.0, 2.0), st.floats(0.1, 3.0), st.floats(60.0, 400.0), st.floats(0.0, 3.0), st.booleans())
def test_a_ramp_balances_and_meets_its_closed_form(low: float, more: float, v: float, r: float, up: bool) -> None:
    """L di/dt = V ∓ R i has logarithms as its solution; the series must meet them."""
    high, inductance = low + more, 300e-6
    got = ramp(low, high, voltage=v, inductance=inductance, resistance=r, rising=up)
    sign = 1.0 if up else -1.0
    assert v * got.time - sign * r * got.charge == pytest.approx(inductance * more, rel=1e-12)
    if r > 1e-3:
        exact = sign * inductance / r * np.log((v - sign * r * low) / (v - sign * r * high))
        assert got.time == pytest.approx(exact, rel=1e-6)


@given(STAGES, BULK, OUTPUT, LOAD, st.floats(0.3, 0.9))
def test_foldback_keeps_its_peak(stage: Flyback, v: float, vo: float, io: float, share: float) -> None:
    stage = stage.with_values(clamp_capacitance=1e-9)
    whole = in_valley(stage, bulk_voltage=v, output_voltage=vo, output_current=io)
    light = 0.2 * share * io
    less = at_peak(stage, bulk_voltage=v, output_voltage=vo, output_current=light, peak_current=whole.peak_current)
    if not whole.mode or not less.mode:
        return
    assert less.peak_current == whole.peak_current
    assert less.frequency < whole.frequency
    balances(stage, less, v, vo, light)


def test_a_clamp_that_takes_all_leaves_no_number() -> None:
    """4.7 nF to 216 V a cycle is 110 µJ; a peak of 0.9 A in 150 µH holds 61 µJ."""
    stage = Flyback(9.0, 150e-6, 5e-6, 80e-12, clamp_resistance=15e3, clamp_capacitance=4.7e-9)
    got = at_peak(stage, bulk_voltage=90.0, output_voltage=24.0, output_current=0.02, peak_current=0.9)
    assert np.isnan(got.frequency)
    assert got.reason == modes.NOT_FOUND


@given(BULK, OUTPUT, LOAD)
def test_an_ideal_stage_is_the_lossless_cycle(v: float, vo: float, io: float) -> None:
    """With next to no leakage, capacitance and resistance the textbook's boundary mode must come out."""
    stage = Flyback(6.0, 350e-6, 1e-12, 1e-15, clamp_voltage=1e4, leakage_damping=10.0)
    cycle = in_valley(stage, bulk_voltage=v, output_voltage=vo, output_current=io)
    plain = quasi_resonant_cycle(
        bulk_voltage=v, output_voltage=vo, output_current=io, turns_ratio=6.0, magnetising_inductance=350e-6,
        drain_capacitance=1e-15,
    )  # fmt: skip
    for name in ("frequency", "peak_current", "secondary_current"):
        assert getattr(cycle, name) == pytest.approx(getattr(plain, name), rel=2e-3)


def test_below_the_floor_there_is_no_number() -> None:
    """325 V, 120 pF, 20 V: the first valley moves at least 0.157 A (first-principles floor of the reference stage)."""
    stage = Flyback(6.0, 350e-6, 3.5e-6, 120e-12, rectifier_drop=0.04, clamp_resistance=47e3)
    loads = np.array([0.05, 0.12, 0.25, 1.0])
    got = in_valley(stage, bulk_voltage=325.0, output_voltage=20.0, output_current=loads)
    assert np.isnan(got.frequency[:2]).all()
    assert (got.reason[:2] == modes.BELOW_FLOOR).all()
    assert np.isfinite(got.frequency[2:]).all()


def test_subharmonic_range_gives_a_reason_and_no_number() -> None:
    stage = Flyback(6.0, 350e-6, 3.5e-6, 120e-12, clamp_resistance=47e3)
    at = {"bulk_voltage": 100.0, "output_voltage": 20.0, "output_current": 3.5, "frequency": 100e3}
    refused = at_frequency(stage, **at)
    assert np.isnan(refused.peak_current)
    assert refused.reason == modes.SUBHARMONIC
    assert at_frequency(stage, **at, slope_compensated=True).mode == modes.CONTINUOUS


def test_a_controller_steps_through_its_modes() -> None:
    """From full load to light load: first valley, later valleys, foldback at the lowest peak."""
    stage = Flyback(6.0, 350e-6, 3.5e-6, 120e-12, clamp_resistance=47e3, ring_quality=20.0)
    control = Controller(highest_frequency=130e3, lowest_peak=0.7, last_valley=4)
    loads = np.array([3.0, 2.0, 1.0, 0.05])
    got = run(stage, control, bulk_voltage=150.0, output_voltage=20.0, output_current=loads)
    assert (np.asarray(got.frequency) <= 130e3 * 1.0001).all()
    rings = np.asarray(got.ring_time) * 1e6
    assert rings[0] == pytest.approx(rings[1]), "first valley"
    assert rings[2] > 3 * rings[1], "a later one"
    assert got.peak_current[3] == 0.7
    assert got.frequency[3] < 20e3


@pytest.mark.parametrize("load", [0.2, 1.5, 3.2])
def test_a_point_does_not_hang_on_the_others_in_its_array(load: float) -> None:
    """What a draw gives must not move when another draw needs more rounds: uncertainty budgets rest on it."""
    stage = Flyback(6.0, 350e-6, 3.5e-6, 120e-12, clamp_resistance=47e3, clamp_capacitance=1e-9, ring_quality=20.0)
    control = Controller(highest_frequency=130e3, lowest_peak=0.6)
    at = {"output_voltage": 20.0, "output_current": load}
    alone = run(stage, control, bulk_voltage=np.array([150.0]), rounds=4, **at)
    among = run(stage, control, bulk_voltage=np.array([150.0, 95.0, 380.0, 210.0]), rounds=4, **at)
    for name in ("frequency", "peak_current", "clamp_loss", "secondary_current"):
        assert getattr(among, name)[0] == pytest.approx(getattr(alone, name)[0], rel=1e-13), name
