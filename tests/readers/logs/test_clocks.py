"""Clock offsets against known ones. The interval is a rectangle (JCGM 100:2008, 4.3.7): the truth lies in it always."""

import math
from pathlib import Path

import numpy as np
import pytest

from partingline.readers.logs import Log, LogEntry, read_log
from partingline.readers.logs.clocks import clock_offset


def seen(path: Path, offset: float, interval: float, name: str, *, levels: list[float], seed: int) -> Log:
    """A log of steps that begin at 30, 61, 93, ... s of true time, read on a clock that is `offset` behind."""
    rng = np.random.default_rng(seed)
    starts = 30 + 31 * np.arange(len(levels)) + np.cumsum(np.arange(len(levels)) % 5)
    time = np.arange(rng.uniform(0, interval), float(starts[-1]) + 40, interval)
    values = np.concatenate([[0.01], levels])[np.searchsorted(starts, time, "right")]
    noisy = values * (1 + 5e-4 * rng.standard_normal(time.size))
    lines = [f"{t - offset:.4f},{v:.5f}" for t, v in zip(time, noisy, strict=True)]
    path.write_text("\n".join([f"Time (s),{name}", *lines]))
    return read_log(path, LogEntry(file=path.name))


LEVELS = [3.0, 2.2, 2.9, 1.5, 0.7, 2.4, 1.1]


def test_offset_lies_within_its_interval(tmp_path: Path) -> None:
    for seed in range(30):
        offset = float(np.random.default_rng(seed).uniform(-50, 50))
        first = seen(tmp_path / "a.csv", 0.0, 1.0, "Iout (A)", levels=LEVELS, seed=seed)
        second = seen(tmp_path / "b.csv", offset, 0.7, "Pin (W)", levels=[20 * x for x in LEVELS], seed=1000 + seed)
        found = clock_offset(first, second)
        assert found is not None
        starts = [float((tmp_path / name).read_text().split("\n")[1].split(",")[0]) for name in ("b.csv", "a.csv")]
        true = offset + starts[0] - starts[1]
        assert found.edges >= 5
        assert abs(found.seconds - true) <= math.sqrt(3) * found.u + 2e-3, seed
        assert found.u < 0.5


def clocked(path: Path, name: str, interval: float, drift: float, *, seed: int) -> Log:
    """An hour of 24 loads of uneven length, read on a clock that starts at 12 s and runs slow by `drift` s/s."""
    rng = np.random.default_rng(7)
    starts, levels = np.cumsum(rng.uniform(90, 200, 24)), rng.permutation(np.linspace(0.3, 3.25, 24))
    own = np.random.default_rng(seed)
    true = np.arange(own.uniform(0, interval), float(starts[-1]) + 100, interval)
    values = np.concatenate([[0.01], levels])[np.searchsorted(starts, true, "right")]
    values = values * (1 + 5e-4 * own.standard_normal(true.size))
    told = (true - true[0]) * (1 - drift)
    path.write_text("\n".join([f"Time (s),{name}", *(f"{t:.4f},{v:.5f}" for t, v in zip(told, values, strict=True))]))
    return read_log(path, LogEntry(file=path.name))


@pytest.mark.parametrize("drift", [0.0, 200e-6, 1200e-6])
def test_drift_over_an_hour(drift: float, tmp_path: Path) -> None:
    """Found where it shows, and the offset lies within its interval at every time of the record."""
    inside = []
    for seed in range(20):
        first = clocked(tmp_path / "a.csv", "Iout (A)", 1.0, 0.0, seed=seed)
        second = clocked(tmp_path / "b.csv", "Pin (W)", 0.7, drift, seed=100 + seed)
        found = clock_offset(first, second)
        assert found is not None
        assert found.edges >= 22
        if drift == 1200e-6:
            assert found.rate == pytest.approx(drift, abs=4 * found.u_rate)
        begin = [np.random.default_rng(s).uniform(0, i) for s, i in ((seed, 1.0), (100 + seed, 0.7))]
        at = np.array([100.0, 1500.0, 3000.0])
        true = begin[1] + at / (1 - drift) - begin[0]
        inside += (np.abs(found.first(at) - true) <= 2 * np.array([found.u_of(t) for t in at]) + 2e-3).tolist()
    assert np.mean(inside) >= 0.9


def test_too_few_edges_or_another_sequence_give_nothing(tmp_path: Path) -> None:
    first = seen(tmp_path / "a.csv", 0.0, 1.0, "Iout (A)", levels=LEVELS[:2], seed=1)
    second = seen(tmp_path / "b.csv", 5.0, 1.0, "Pin (W)", levels=LEVELS[:2], seed=2)
    assert clock_offset(first, second) is None
    flat = seen(tmp_path / "c.csv", 0.0, 1.0, "Iout (A)", levels=[0.01] * 5, seed=3)
    assert clock_offset(flat, first) is None
