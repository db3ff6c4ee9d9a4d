"""The offset between the clocks of two logs, from the edges that both saw.

An edge lies between two samples: the change of a setting is known to half an interval in each log. Every pair of edges
in one direction bounds the offset to an interval; the offset at which most pairs agree is taken, and where all their
intervals overlap it is known to the overlap (a rectangle: JCGM 100:2008, 4.3.7).
"""

import math
from dataclasses import dataclass

import numpy as np

from partingline.readers.logs.changes import SHORTEST, change_points
from partingline.readers.logs.types import Floats, Log

LEAST = 3
"""Common edges from which an offset is believed (common practice, no source)."""
_SIGNALS = ("output_current", "input_power", "input_current", "output_power", "input_voltage")
_SMALLEST = 0.02


@dataclass(frozen=True, slots=True)
class ClockOffset:
    """Seconds to add to the second log's time to get the first's, with its standard uncertainty.

    edges: how many edges of both agree, of `seen` in the log with fewer.
    """

    seconds: float
    u: float
    edges: int
    seen: int


@dataclass(frozen=True, slots=True)
class _Edges:
    time: Floats
    half: Floats
    up: np.ndarray[tuple[int], np.dtype[np.bool_]]


def clock_offset(first: Log, second: Log) -> ClockOffset | None:
    """The offset of the second log's clock; None where fewer than three edges agree, or two offsets fit as well.

    Times are those of `Log.time_s`: seconds since each log's first sample.
    """
    a, b = _edges(first), _edges(second)
    if min(len(a.time), len(b.time)) < LEAST:
        return None
    apart = a.time[:, None] - b.time[None, :]
    width = a.half[:, None] + b.half[None, :]
    alike = a.up[:, None] == b.up[None, :]
    candidates, reach = apart[alike], width[alike]
    # At the true offset every common edge has its interval over it: the depth of overlap counts them.
    depth = np.array([int((np.abs(candidates - d) <= reach).sum()) for d in candidates])
    best = int(depth.max(initial=0))
    if best < LEAST:
        return None
    tops = candidates[depth == best]
    fits = np.abs(candidates - np.median(tops)) <= reach
    if np.ptp(tops) > 4 * float(reach.max()) or int(fits.sum()) < LEAST:
        return None
    low = float((candidates - reach)[fits].max())
    high = float((candidates + reach)[fits].min())
    seen = min(len(a.time), len(b.time))
    if low <= high:
        return ClockOffset((low + high) / 2, (high - low) / 2 / math.sqrt(3), int(fits.sum()), seen)
    agreed = candidates[fits]
    spread = float(agreed.std(ddof=1)) / math.sqrt(len(agreed))
    return ClockOffset(float(agreed.mean()), max(spread, (low - high) / math.sqrt(3)), len(agreed), seen)


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
