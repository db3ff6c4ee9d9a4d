"""Plateaus and levels against known truth. Sources: JCGM 100:2008, 4.2.3 (mean of n readings) and JCGM 101:2008,
6.4.9.4 (Student's t for few readings); 10 CFR 430 Subpart B Appendix Z (5 min, 5 %); IEC 62301:2011 from memory
(10 mW/h).
"""

import math

import numpy as np
import pytest

from partingline.readers.logs.changes import change_points
from partingline.readers.logs.no_load import steady_part
from partingline.readers.logs.plateaus import find_plateaus, level
from tests.readers.logs.sweeps import log_of, sweep


def found_all(seed: int) -> str:
    """'' where every plateau was found and none besides; else what was wrong."""
    made = sweep(seed)
    plateaus = find_plateaus(made.log)
    if len(plateaus) != len(made.levels):
        return f"seed {seed}: {len(plateaus)} of {len(made.levels)} plateaus"
    for plateau, start in zip(plateaus, made.starts, strict=True):
        if abs(plateau.first - start) > 4:
            return f"seed {seed}: plateau at {plateau.first}, expected {start}"
    return ""


@pytest.mark.parametrize("seed", range(24))
def test_every_plateau_is_found(seed: int) -> None:
    assert not found_all(seed)


@pytest.mark.prove
@pytest.mark.timeout(1200)
def test_every_plateau_is_found_in_1000_runs() -> None:
    wrong = [message for seed in range(1000, 2000) if (message := found_all(seed))]
    assert not wrong, wrong[:10]


def test_drift_and_spikes_are_no_steps() -> None:
    rng = np.random.default_rng(3)
    warm = 72.0 * (1 + 0.02 * np.exp(-np.arange(3000) / 700)) + 0.004 * rng.standard_normal(3000)
    warm[[500, 1500, 1501]] = 0.0
    assert len(change_points(warm, 0.3)) == 0


def test_short_stretches_between_two_changes_are_transitions() -> None:
    values = np.concatenate([np.full(60, 1.0), np.linspace(1.0, 2.0, 7), np.full(60, 2.0)])
    plateaus = find_plateaus(log_of(values, "output_current"))
    assert len(plateaus) == 2
    assert plateaus[0].last < 62
    assert plateaus[1].first > 62


def test_plateau_that_never_settles_is_flagged() -> None:
    """Appendix Z: the input power may drift by 5 % of its maximum within 5 min."""
    still, sinking = np.full(600, 70.0), np.linspace(70.0, 56.0, 600)
    assert find_plateaus(log_of(still, "input_power"))[0].settled
    plateau = find_plateaus(log_of(sinking, "input_power"))[0]
    assert not plateau.settled
    assert "never settled (limit 5 %)" in plateau.why
    assert plateau.drift == pytest.approx(0.10, abs=0.02)


def test_settled_part_is_the_last_five_minutes() -> None:
    (plateau,) = find_plateaus(log_of(np.full(1200, 5.0), "input_power"))
    assert plateau.last - plateau.settled_first == 300


def coverage(seeds: range, n: int, noise: float, step: float) -> float:
    """Share of runs in which truth lies within 1.96 u of the level."""
    inside = 0
    for seed in seeds:
        rng = np.random.default_rng(seed)
        truth = 3.0 + rng.uniform(0, 1e-3)
        values = np.round((truth + noise * rng.standard_normal(n)) / step) * step
        found = level(log_of(values, "output_current", step=step), "output_current", "", 0, n - 1)
        assert found is not None
        u = math.hypot(found.u, found.resolution / math.sqrt(3), found.drift / math.sqrt(3))
        inside += abs(found.value - truth) <= 1.96 * u
    return inside / len(seeds)


@pytest.mark.parametrize(("n", "noise", "step"), [(8, 1e-3, 1e-4), (100, 1e-3, 1e-4), (100, 2e-5, 1e-4)])
def test_level_lies_within_its_interval(n: int, noise: float, step: float) -> None:
    """300 runs: 95 % less three standard deviations of the count is 91 %."""
    assert coverage(range(300), n, noise, step) >= 0.91


@pytest.mark.prove
@pytest.mark.parametrize(("n", "noise"), [(8, 1e-3), (30, 1e-3), (300, 1e-3)])
def test_level_lies_within_its_interval_in_1000_runs(n: int, noise: float) -> None:
    """95 % of 1000 runs, less two standard deviations of the count; and the interval is not needlessly wide."""
    assert 0.936 <= coverage(range(5000, 6000), n, noise, 1e-6) <= 0.99


def test_neighbours_that_resemble_each_other_count_less() -> None:
    rng = np.random.default_rng(5)
    white = rng.standard_normal(4000)
    slow = np.convolve(rng.standard_normal(4200), np.ones(20) / math.sqrt(20), "valid")[:4000]
    u = [level(log_of(x, "port_voltage", step=1e-9), "port_voltage", "", 0, 3999) for x in (white, slow)]
    assert u[0] is not None
    assert u[1] is not None
    assert u[0].u == pytest.approx(1 / math.sqrt(4000), rel=0.1)
    assert u[1].u > 3 * u[0].u


def test_spikes_are_left_out_and_counted() -> None:
    rng = np.random.default_rng(6)
    values = 5.0 + 1e-3 * rng.standard_normal(200)
    values[[20, 150]] = [0.0, 9.9]
    found = level(log_of(values, "port_voltage"), "port_voltage", "", 0, 199)
    assert found is not None
    assert found.spikes == 2
    assert found.value == pytest.approx(5.0, abs=5e-4)


def test_two_samples_are_given_the_width_of_students_t() -> None:
    """t(0.975, 1) = 12.706: JCGM 100:2008, table G.2."""
    found = level(log_of(np.array([1.0, 1.1]), "port_voltage"), "port_voltage", "", 0, 1)
    assert found is not None
    assert 1.96 * found.u == pytest.approx(12.706 * 0.05, rel=1e-3)


@pytest.mark.parametrize(("slope_w_per_h", "steady"), [(0.0, True), (0.009, True), (0.012, False), (-0.02, False)])
def test_no_load_record_is_steady_below_ten_milliwatts_an_hour(slope_w_per_h: float, steady: bool) -> None:
    time = np.arange(1800)
    rng = np.random.default_rng(7)
    power = 0.1 + slope_w_per_h * time / 3600 + 1e-5 * rng.standard_normal(1800)
    found = steady_part(log_of(power, "input_power", step=1e-5))
    assert found is not None
    assert found.steady is steady
    assert found.slope_w_per_h == pytest.approx(slope_w_per_h, abs=1e-4)
    assert found.first == 600


def test_short_no_load_record_says_so() -> None:
    found = steady_part(log_of(np.full(300, 0.1), "input_power"))
    assert found is not None
    assert "15 min are asked" in found.why


def test_thinned_record_finds_the_same_steps() -> None:
    rng = np.random.default_rng(8)
    levels = np.repeat([3.25, 2.4375, 1.625, 0.8125, 0.325], 60_000)
    changes = change_points(levels + 1e-3 * rng.standard_normal(levels.size), 0.02)
    assert np.abs(changes - 60_000 * np.arange(1, 5)).max() <= 2
