"""The offset between the clocks of two logs, from the edges that both saw.

An edge lies between two samples: the change of a setting is known to half an interval in each log. Every pair of edges
in one direction bounds the offset to an interval; the offset at which most pairs agree is taken, with a drift if more
agree with one, and both are known to what the intervals allow (rectangles: JCGM 100:2008, 4.3.7).
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from partingline.readers.logs.changes import SHORTEST, change_points
from partingline.readers.logs.types import ClockOffset, Floats, Log

LEAST = 3
"""Common edges from which an offset is believed (common practice, no source)."""
MOST_DRIFT = 2e-3
"""Largest drift that is looked for, in s/s: 7 s in an hour (common practice, no source)."""
_SIGNALS = ("output_current", "input_power", "input_current", "output_power", "input_voltage")
_SMALLEST = 0.02
_RATES = 200
_SCALE = 1000.0


@dataclass(frozen=True, slots=True)
class _Edges:
    time: Floats
    half: Floats
    up: np.ndarray[tuple[int], np.dtype[np.bool_]]


@dataclass(frozen=True, slots=True)
class _Pairs:
    """Every pair of edges in one direction: time in the second log from its middle, offset, and half its interval."""

    at: Floats
    apart: Floats
    reach: Floats

    def drifting(self, rate: float) -> Floats:
        """Offsets in the middle of the record at a rate."""
        return self.apart - rate * self.at


def clock_offset(first: Log, second: Log) -> ClockOffset | None:
    """How the second log's clock stands; None where fewer than three edges agree, or two offsets fit as well.

    Times are those of `Log.time_s`: seconds since each log's first sample.
    """
    a, b = _edges(first), _edges(second)
    seen = min(len(a.time), len(b.time))
    if seen < LEAST:
        return None
    middle = float(b.time[0] + b.time[-1]) / 2
    alike = a.up[:, None] == b.up[None, :]
    pairs = _Pairs(
        np.broadcast_to(b.time - middle, alike.shape)[alike],
        (a.time[:, None] - b.time[None, :])[alike],
        (a.half[:, None] + b.half[None, :])[alike],
    )
    rate = _rate(pairs, seen, float(np.ptp(b.time)))
    best, top, apart = _deepest(pairs.drifting(rate), pairs.reach)
    if best < LEAST or apart > 4 * float(pairs.reach.max()):
        return None
    fits = np.abs(pairs.drifting(rate) - top) <= pairs.reach * (1 + 1e-9)
    return _offset(_Pairs(pairs.at[fits], pairs.apart[fits], pairs.reach[fits]), middle, seen)


def _rate(pairs: _Pairs, seen: int, span: float) -> float:
    """The drift at which more edges agree, by two or more than without one; 0 where none does."""
    alone = _deepest(pairs.apart, pairs.reach)[0]
    if alone >= seen - 1 or not span or not len(pairs.apart):
        return 0.0
    step = max(float(np.median(pairs.reach)) / span, MOST_DRIFT / _RATES)
    count = int(MOST_DRIFT / step)
    rates = sorted((n * step for n in range(-count, count + 1)), key=abs)
    depths = [_deepest(pairs.drifting(rate), pairs.reach)[0] for rate in rates]
    best = int(np.argmax(depths))
    return rates[best] if depths[best] >= alone + 2 else 0.0


def _deepest(offsets: Floats, reach: Floats) -> tuple[int, float, float]:
    """How many intervals overlap at most, where in the middle of that, and how far apart such places lie."""
    if not len(offsets):
        return 0, 0.0, 0.0
    places = np.concatenate([offsets - reach, offsets + reach])
    order = np.lexsort((np.repeat([0, 1], len(offsets)), places))
    depth = np.cumsum(np.where(order < len(offsets), 1, -1))
    top = int(depth.max())
    tops = np.flatnonzero(depth == top)
    spans = places[order[tops]], places[order[np.minimum(tops + 1, len(order) - 1)]]
    middles = (spans[0] + spans[1]) / 2
    return top, float(np.median(middles)), float(np.ptp(middles))


def _offset(pairs: _Pairs, middle: float, seen: int) -> ClockOffset:
    """The middle of all offsets that the intervals allow with any drift, each range a rectangle. A drift is told where
    they rule out that there is none."""
    from scipy.optimize import linprog

    lines = np.column_stack([np.ones(len(pairs.at)), pairs.at / _SCALE])
    bound = np.concatenate([pairs.apart + pairs.reach, pairs.reach - pairs.apart]) + 1e-9
    within: dict[str, Any] = {"A_ub": np.vstack([lines, -lines]), "b_ub": bound,
              "bounds": [(None, None), (-MOST_DRIFT * _SCALE, MOST_DRIFT * _SCALE)]}  # fmt: skip
    ends = [linprog(goal, **within).x for goal in ((1, 0), (-1, 0), (0, 1), (0, -1))]
    low, high = float(ends[0][0]), float(ends[1][0])
    slowest, fastest = float(ends[2][1]) / _SCALE, float(ends[3][1]) / _SCALE
    still = slowest <= 0 <= fastest
    rate = 0.0 if still else (slowest + fastest) / 2
    u_rate = max(fastest - rate, rate - slowest) / math.sqrt(3)
    return ClockOffset((low + high) / 2, (high - low) / 2 / math.sqrt(3), len(pairs.at), seen, rate, u_rate, middle)


def _edges(log: Log) -> _Edges:
    """The edges of the first signal that shows three or more."""
    empty = _Edges(np.empty(0), np.empty(0), np.empty(0, bool))
    for quantity in _SIGNALS:
        series = log.values(quantity)
        if series is None:
            continue
        good = np.flatnonzero(np.isfinite(series))
        if len(good) < 2 * SHORTEST:
            continue
        values, time = series[good], log.time_s[good]
        some = np.abs(values[:: max(1, len(values) // 100_000)])
        smallest = max(_SMALLEST * float(np.quantile(some, 0.99)), 2 * log.column(quantity).step)
        at = change_points(values, smallest)
        at = at[(at > 0) & (at < len(values))]
        if len(at) < LEAST:
            continue
        time_before, time_after = time[at - 1], time[at]
        step = values[np.minimum(at + 2, len(values) - 1)] - values[np.maximum(at - 3, 0)]
        return _Edges((time_before + time_after) / 2, (time_after - time_before) / 2, np.asarray(step > 0))
    return empty
