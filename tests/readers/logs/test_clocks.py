"""Clock offsets against known ones. The interval is a rectangle (JCGM 100:2008, 4.3.7): the truth lies in it always."""

import math
from pathlib import Path

import numpy as np

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


def test_too_few_edges_or_another_sequence_give_nothing(tmp_path: Path) -> None:
    first = seen(tmp_path / "a.csv", 0.0, 1.0, "Iout (A)", levels=LEVELS[:2], seed=1)
    second = seen(tmp_path / "b.csv", 5.0, 1.0, "Pin (W)", levels=LEVELS[:2], seed=2)
    assert clock_offset(first, second) is None
    flat = seen(tmp_path / "c.csv", 0.0, 1.0, "Iout (A)", levels=[0.01] * 5, seed=3)
    assert clock_offset(flat, first) is None
