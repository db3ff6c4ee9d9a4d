"""Synthetic sweeps with known truth: invented, with fixed seeds."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from partingline.readers.logs import Column, Log, LogEntry

Floats = NDArray[np.float64]
STEP = 1e-4


@dataclass(frozen=True)
class Sweep:
    """True levels of the current (A), the first sample of each, and the log as an instrument recorded it."""

    levels: Floats
    starts: NDArray[np.int64]
    log: Log


def sweep(seed: int) -> Sweep:
    """1 to 200 plateaus, steps from 0.5 % of the range, noise, thermal drift, spikes, dropouts, quantisation."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(1, 201)) if seed % 3 == 0 else int(rng.integers(1, 12))
    lengths = rng.integers(20, 120, count)
    levels = [float(rng.uniform(0.3, 1.0))]
    while len(levels) < count:
        step = float(rng.choice([-1, 1]) * rng.choice([0.005, 0.01, 0.05, 0.25]))
        if 0.05 <= levels[-1] + step <= 1.0:
            levels.append(levels[-1] + step)
    true = np.repeat(levels, lengths)
    n = len(true)
    noise = float(rng.choice([1e-4, 3e-4, 8e-4]))
    drift = 0.002 * np.exp(-np.arange(n) / (n / 4))
    seen = true * (1 + drift) + noise * rng.standard_normal(n)
    seen = np.round(seen / STEP) * STEP
    spikes = rng.random(n) < 0.002
    seen[spikes] += rng.uniform(-1, 1, int(spikes.sum()))
    seen[rng.random(n) < 0.002] = np.nan
    starts = np.concatenate([[0], np.cumsum(lengths)[:-1]])
    return Sweep(np.array(levels), starts, log_of(seen, "output_current"))


def log_of(values: Floats, quantity: str, *, period_s: float = 1.0, step: float = STEP) -> Log:
    """A log of one column."""
    n = len(values)
    return Log(
        "logs/made.csv",
        "00",
        LogEntry(file="made.csv"),
        columns=(Column(0, quantity, quantity=quantity, step=step),),
        rows=np.arange(2, n + 2),
        time_s=np.arange(n) * period_s,
        series={(quantity, ""): values},
    )


def noisy_rows(count: int) -> list[tuple[int, float, float, float]]:
    """Number, input power in W, port voltage in mV and current in A of a made record."""
    rng = np.random.default_rng(7)
    return [(n, *(base + 0.01 * float(rng.standard_normal()) for base in (70.0, 20050.0, 3.25))) for n in range(count)]
