"""The clock of a frame from its preamble, where there are too few samples to go by edges: alternating bits are a
course of the line that is known, so the bit time and phase are those with which it fits best."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

_HALVES = np.array([1.0, 1.0, 0.0, 1.0, 0.0, 0.0, 1.0, 0.0])
"""Levels of the bits 0 1 0 1 from a low level on, by half-bit; then they begin again."""
_SKIP, _COARSE, _FINE = 4, 24, 48
"""Bits after the first edge that are not trusted, and those that the clock is taken from."""
_RATES = np.linspace(0.80, 1.16, 19)
"""Bit times tried, against the nominal one: 259 to 375 kbit/s."""
_CLEAR, _LIKE = 0.7, 0.9
"""Correlation that a preamble shows with square edges, and with its own; noise shows 0.5."""


class Clock(NamedTuple):
    """A 0 of the preamble: where it begins, the bit time (samples), and the level before it (0 or 1).

    `slope`: how long an edge takes, in half-bits; `low`, `high`: levels in raw units.
    """

    begin: float
    unit: float
    level: int
    slope: float
    low: float
    high: float


def find_clock(samples: npt.NDArray[np.float64], *, first: float, bit_samples: float) -> Clock | None:
    """The clock of a preamble whose first edge is near `first`, or None. `bit_samples`: nominal samples a bit."""
    begin = first + _SKIP * bit_samples
    part = _part(samples, begin, _COARSE * bit_samples)
    if part is None:
        return None
    at, values = part
    units, phases, slopes = _grid(bit_samples * _RATES, np.arange(0.0, 8.0, 0.5), np.array([0.6]))
    best, likeness = _best(at - begin, values, units, phases, slopes)
    part = _part(samples, begin, _FINE * bit_samples)
    if likeness < _CLEAR or part is None:
        return None
    at, values = part
    units, phases, slopes = _grid(
        units[best] * np.linspace(0.985, 1.015, 13), phases[best] + np.linspace(-0.5, 0.5, 13), np.linspace(0.3, 1.2, 4)
    )
    best, likeness = _best(at - begin, values, units, phases, slopes)
    if likeness < _LIKE:
        return None
    unit, phase, slope = float(units[best]), float(phases[best]) % 8, float(slopes[best])
    shape = _course(2 * (at - begin) / unit + phase, slope)
    swing = float(np.cov(shape, values)[0, 1] / shape.var(ddof=1))
    low = float(values.mean() - swing * shape.mean())
    # The next 0 of the preamble: half-bit 4 begins one from a high level, half-bit 8 one from a low level.
    half = 4 if phase <= 4 else 8
    return Clock(begin + (half - phase) * unit / 2, unit, int(half == 4), slope, low, low + swing)


def _part(
    samples: npt.NDArray[np.float64], begin: float, length: float
) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]] | None:
    at = np.arange(max(0, int(begin)), int(begin + length))
    if at.size == 0 or at[-1] >= len(samples):
        return None
    return at.astype(np.float64), samples[at]


def _grid(*axes: npt.NDArray[np.float64]) -> tuple[npt.NDArray[np.float64], ...]:
    return tuple(axis.ravel() for axis in np.meshgrid(*axes, indexing="ij"))


def _best(
    at: npt.NDArray[np.float64],
    values: npt.NDArray[np.float64],
    units: npt.NDArray[np.float64],
    phases: npt.NDArray[np.float64],
    slopes: npt.NDArray[np.float64],
) -> tuple[int, float]:
    """Number of the candidate that is most like the samples, and its correlation with them."""
    shapes = _course(2 * at / units[:, None] + phases[:, None], slopes[:, None])
    shapes -= shapes.mean(axis=1, keepdims=True)
    centred = values - values.mean()
    power = np.sqrt((shapes * shapes).sum(axis=1) * (centred * centred).sum())
    likeness = shapes @ centred / np.maximum(power, 1e-300)
    best = int(likeness.argmax())
    return best, float(likeness[best])


def _course(place: npt.NDArray[np.float64], slope: float | npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """The preamble at places in half-bits, an edge taking `slope` of them: 0 low, 1 high."""
    near = np.round(place)
    share = np.clip(0.5 + (place - near) / slope, 0.0, 1.0)
    number = near.astype(np.int64)
    course: npt.NDArray[np.float64] = _HALVES[(number - 1) % 8] * (1 - share) + _HALVES[number % 8] * share
    return course
