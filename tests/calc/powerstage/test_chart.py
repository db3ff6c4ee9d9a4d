"""The map over line and load: it meets the load as the full solver does, and it is the sum of its items."""

import numpy as np
import pytest

from partingline.calc.powerstage.budget import Parts
from partingline.calc.powerstage.chart import QUICK, power_map
from partingline.calc.powerstage.control import Controller, run
from partingline.calc.powerstage.stage import Flyback

STAGE = Flyback(
    5.33, 262e-6, 2e-6, 120e-12, switch_resistance=0.3, primary_winding_resistance=0.3,
    secondary_winding_resistance=6e-3, rectifier_resistance=8e-3, output_esr=5e-3, clamp_resistance=30e3,
    clamp_capacitance=2.2e-9, ring_quality=15.0,
)  # fmt: skip
PARTS = Parts(line_resistance=1.5, bulk_esr=0.3, core_coefficient=16.0, core_volume=4e-6, core_area=86e-6,
              primary_turns=32.0, output_path_resistance=0.03, controller_power=0.3)  # fmt: skip
CONTROL = Controller(highest_frequency=130e3, lowest_peak=0.9)


def test_the_quick_solve_of_the_map_is_the_full_one() -> None:
    rng = np.random.default_rng(4)
    stage = STAGE.with_values(magnetising_inductance=262e-6 * np.exp(rng.normal(0, 0.1, 500)))
    at = {
        "bulk_voltage": rng.uniform(90, 375, 500),
        "output_voltage": 20.0,
        "output_current": rng.uniform(0.1, 3.25, 500),
    }
    quick, full = run(stage, CONTROL, rounds=QUICK, **at), run(stage, CONTROL, **at)
    for name in ("frequency", "peak_current", "secondary_current", "input_power"):
        np.testing.assert_allclose(getattr(quick, name), getattr(full, name), rtol=2e-4)


def test_a_map_adds_up_and_says_what_it_is() -> None:
    draws = np.concatenate([[1.0], np.exp(np.random.default_rng(6).normal(0, 0.05, 60))])
    stage = STAGE.with_values(magnetising_inductance=262e-6 * draws)
    got = power_map(
        stage, PARTS, CONTROL, mains=np.array([100.0, 230.0]), loads=np.array([0.3, 1.6, 3.25]), output_voltage=20.0,
        mains_frequency=50.0, bulk_capacitance=105e-6,
    )  # fmt: skip
    assert got.values["loss"].shape == (2, 3)
    total = sum(got.losses.values())
    np.testing.assert_allclose(total, got.values["loss"], rtol=1e-9)
    output = 20.0 * np.array([0.3, 1.6, 3.25])
    np.testing.assert_allclose(got.values["efficiency"], output / (output + got.values["loss"]), rtol=1e-3)
    assert (got.held == 1.0).all()
    assert (np.diff(got.values["loss"], axis=1) > 0).all()
    assert got.values["switch_voltage"][1, 2] > got.values["switch_voltage"][0, 2]
    assert got.deviations["frequency"][0, 2] > 0


def test_where_no_cycle_exists_the_map_is_empty() -> None:
    """Full load at 40 V mains: the bulk capacitor empties between the crests."""
    got = power_map(
        STAGE, PARTS, CONTROL, mains=np.array([40.0]), loads=np.array([3.25]), output_voltage=20.0,
        mains_frequency=50.0, bulk_capacitance=47e-6,
    )  # fmt: skip
    assert got.held[0, 0] < 0.5
    assert np.isnan(got.values["loss"][0, 0])
    assert got.losses["core"].shape == (1, 1)


@pytest.mark.parametrize("share", [0.5, 1.0])
def test_the_map_follows_the_linearity_of_fixed_loss(share: float) -> None:
    more = Parts(controller_power=0.3 + share)
    less = Parts(controller_power=0.3)
    at = {"mains": np.array([230.0]), "loads": np.array([2.0]), "output_voltage": 20.0, "mains_frequency": 50.0,
          "bulk_capacitance": 105e-6}  # fmt: skip
    gained = [power_map(STAGE, parts, CONTROL, **at).losses["controllers"][0, 0] for parts in (more, less)]
    assert gained[0] - gained[1] == pytest.approx(share)
