"""Plateaus of a log, found without being told the steps; the settled part of each; the level of a stretch of
samples."""

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from partingline.readers.logs.changes import SHORTEST, change_points, scatter
from partingline.readers.logs.types import Floats, Log

SMALLEST_STEP = 0.004
"""Smallest step of a load that is told apart, as a share of the largest current."""
SMALLEST_LINE_STEP = 0.02
WINDOW_S = 300.0
DRIFT_LIMIT = 0.05
_T95 = {1: 12.706, 2: 4.303}


@dataclass(frozen=True, slots=True)
class Plateau:
    """Samples `first` to `last` (both included) at one setting; `settled_first` to `last` is its settled part.

    drift: how far the settling signal falls or rises within the settled part, as a share of its largest value.
    settled: whether that stays within the limit; `why` says it in a sentence.
    """

    first: int
    last: int
    settled_first: int
    drift: float
    settled: bool
    window_s: float
    why: str


@dataclass(frozen=True, slots=True)
class Level:
    """Mean of a stretch, standard uncertainty of the mean from scatter, half-widths for resolution and drift; SI units.

    n: samples used; spikes: samples left out as spikes or dropouts. slope: in units a second, 0 where none shows.
    clock: what the uncertain clock of a guest moves the mean by, one standard uncertainty with the sign of the slope.
    """

    value: float
    u: float
    resolution: float
    drift: float
    n: int
    spikes: int
    slope: float = 0.0
    clock: float = 0.0


def find_plateaus(log: Log, *, drift_limit: float = DRIFT_LIMIT) -> tuple[Plateau, ...]:
    """Plateaus of output current (all ports) and input voltage; of input power where no current was recorded.

    Stretches of fewer than eight samples between two changes are taken for transitions. Settled part and drift follow
    10 CFR 430 Subpart B Appendix Z: the last 5 min, input power within 5 % of its largest value; of a shorter plateau
    the last two thirds are judged, and `why` says so.
    """
    n = len(log.time_s)
    edges = sorted({0, n, *(int(change) for change in _changes(log))})
    found = []
    for start, end in pairwise(edges):
        first, last = start + (start > 0), end - 1 - (end < n)
        if last - first + 1 >= SHORTEST:
            found.append(_settle(log, first, last, drift_limit))
    return tuple(found)


def level(log: Log, quantity: str, channel: str, first: int, last: int) -> Level | None:
    """The level of one quantity over samples `first` to `last`; None where there is no value among them.

    The scatter of the mean is that of n independent readings (JCGM 100:2008, 4.2.3), n lowered where neighbours
    resemble each other, with the spread of Student's t for few readings (JCGM 101:2008, 6.4.9.4). A guest's own
    samples of that time count."""
    if guest := log.guest(quantity, channel):
        a, b = guest.samples(float(log.time_s[first]), float(log.time_s[last]))
        found = level(guest.log, quantity, channel, a, b)
        return found and replace(found, clock=found.slope * guest.clock.u_of(float(guest.log.time_s[a])))
    series = log.values(quantity, channel)
    if series is None:
        return None
    values, time = series[first : last + 1], log.time_s[first : last + 1]
    good = np.isfinite(values)
    values, time = values[good], time[good]
    if not len(values):
        return None
    step = log.column(quantity, channel).step
    keep = _without_spikes(values, step)
    kept, at = values[keep], time[keep]
    slope, rest = _slope(at, kept)
    u = _mean_uncertainty(rest)
    span = float(at[-1] - at[0]) if len(at) > 1 else 0.0
    noise = float(rest.std()) * math.sqrt(12) / max(span * math.sqrt(len(rest)), 1e-30) if span else 0.0
    drift = abs(slope) * span / 2 if abs(slope) > 2 * noise and len(at) >= SHORTEST else 0.0
    drift = drift if drift > 1e-9 * abs(float(kept.mean())) else 0.0
    slope = slope if drift else 0.0
    resolution = step / 2 if float(rest.std()) < step / 2 else 0.0
    return Level(float(kept.mean()), u, resolution, drift, len(kept), int(len(values) - len(kept)), slope)


def _changes(log: Log) -> list[int]:
    channels = [("output_current", channel) for channel in log.channels("output_current")]
    signals = [(key, SMALLEST_STEP) for key in channels or [("input_power", "")]]
    signals.append((("input_voltage", ""), SMALLEST_LINE_STEP))
    found: list[int] = []
    for key, share in signals:
        series = log.series.get(key)
        if series is None:
            continue
        where = None if np.isfinite(series.sum()) else np.flatnonzero(np.isfinite(series))
        values = series if where is None else series[where]
        if len(values) < SHORTEST:
            continue
        largest = float(np.quantile(np.abs(values[:: max(1, len(values) // 100_000)]), 0.99))
        smallest = max(share * largest, 2 * log.column(*key).step)
        fresh = [int(change if where is None else where[change]) for change in change_points(values, smallest)]
        found += [change for change in fresh if all(abs(change - other) > 3 for other in found)]
    return found


def _settle(log: Log, first: int, last: int, limit: float) -> Plateau:
    time = log.time_s
    length = float(time[last] - time[first])
    window = min(WINDOW_S, length * 2 / 3)
    begin = int(np.searchsorted(time[first : last + 1], time[last] - window - 1e-9)) + first
    begin = max(first, min(begin, last - SHORTEST // 2))
    signal = _signal(log)
    share = _drift(log.series[signal][begin : last + 1]) if signal else 0.0
    settled = share <= limit
    name = signal[0].replace("_", " ") if signal else "signal"
    moved = f"{share * 100:.2g} %" if share >= 1e-4 else "less than 0.01 %"
    why = f"{name} moved by {moved} in the last {window:.0f} s"
    why += "" if settled else f": never settled (limit {limit * 100:g} %)"
    return Plateau(
        first,
        last,
        begin,
        share,
        settled,
        window,
        why + ("" if window >= WINDOW_S else "; plateau shorter than 7.5 min"),
    )


def _signal(log: Log) -> tuple[str, str] | None:
    for quantity in ("input_power", "output_current", "port_voltage", "input_current", "input_voltage"):
        for channel in log.channels(quantity):
            return quantity, channel
    return None


def _drift(values: Floats) -> float:
    """(largest - smallest) / largest of medians over tenths of the stretch, less what noise alone would give."""
    values = values[np.isfinite(values)]
    largest = float(np.max(np.abs(values), initial=0.0))
    if len(values) < 4 or largest == 0.0:
        return 0.0
    blocks = np.array_split(values, min(10, len(values) // 2))
    middles = np.array([np.median(block) for block in blocks])
    noise = scatter(values) * 1.25 / math.sqrt(len(values) / len(blocks)) * 3.1
    top = float(np.max(np.abs(middles)))
    return max(0.0, float(np.ptp(middles)) - noise) / top if top else 0.0


def _without_spikes(values: Floats, step: float) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """All but single samples far from the others; if more than a twentieth were far, they are no spikes and all
    stay."""
    middle = float(np.median(values))
    spread = max(1.4826 * float(np.median(np.abs(values - middle))), step / math.sqrt(12), 1e-15)
    keep = np.abs(values - middle) <= 8.0 * spread
    return keep if keep.sum() >= 0.95 * len(values) else np.ones(len(values), bool)


def _slope(time: Floats, values: Floats) -> tuple[float, Floats]:
    """Least-squares slope, and the deviations from the line."""
    if len(values) < 3 or float(np.ptp(time)) == 0.0:
        return 0.0, values - values.mean()
    t = time - time.mean()
    slope = float(t @ (values - values.mean()) / (t @ t))
    return slope, values - values.mean() - slope * t


def _mean_uncertainty(rest: Floats) -> float:
    n = len(rest)
    if n < 2:
        return 0.0
    s = float(np.sqrt(rest @ rest / max(n - 1, 1)))
    nu = n - 1
    if n >= 20 and s > 0:
        rho = min(0.99, max(0.0, float(rest[1:] @ rest[:-1] / (rest @ rest))))
        rho = rho if rho > 2 / math.sqrt(n) else 0.0
        nu = max(2, int(n * (1 - rho) / (1 + rho)) - 1)
    few = math.sqrt(nu / (nu - 2)) if nu >= 3 else _T95[nu] / 1.96
    u = s / math.sqrt(nu + 1) * few
    return u if u > 1e-12 else 0.0
