"""Whether a no-load record is steady.

IEC 62301:2011 (sampling method, from memory): at least 15 min at one sample a second or faster, the first third left
out, the slope of the rest below 10 mW/h for up to 1 W, below 1 % of the power per hour above."""

from dataclasses import dataclass

import numpy as np

from partingline.readers.logs.types import Log

SHORTEST_S = 900.0
SLOPE_LIMIT_W_PER_H = 0.010
SLOPE_LIMIT_SHARE_PER_H = 0.01


@dataclass(frozen=True, slots=True)
class Steady:
    """Samples `first` to `last` that count; slope of the power with its standard uncertainty, W/h; verdict in a
    sentence."""

    first: int
    last: int
    slope_w_per_h: float
    u_slope: float
    steady: bool
    why: str


def steady_part(log: Log) -> Steady | None:
    """The part of a no-load record that counts; None where no input power was recorded.

    A record is called unsteady where the slope passes the limit by more than twice its uncertainty.
    """
    power = log.values("input_power")
    if power is None or not np.isfinite(power).any():
        return None
    length = float(log.time_s[-1] - log.time_s[0])
    first = int(np.searchsorted(log.time_s, log.time_s[0] + length / 3))
    last = len(power) - 1
    good = np.isfinite(power[first:])
    values, hours = power[first:][good], log.time_s[first:][good] / 3600.0
    if len(values) < 3 or float(np.ptp(hours)) == 0.0:
        return Steady(0, last, 0.0, 0.0, False, "fewer than three samples: steadiness cannot be told")
    t = hours - hours.mean()
    slope = float(t @ values / (t @ t))
    rest = values - values.mean() - slope * t
    u = float(np.sqrt(rest @ rest / (len(rest) - 2) / (t @ t))) if len(rest) > 2 else 0.0
    mean = float(values.mean())
    limit = SLOPE_LIMIT_W_PER_H if mean <= 1.0 else SLOPE_LIMIT_SHARE_PER_H * mean
    steady = abs(slope) - 2 * u <= limit
    why = f"slope {slope * 1e3:.2g} ± {2 * u * 1e3:.2g} mW/h over the last two thirds, limit {limit * 1e3:.3g} mW/h"
    if length < SHORTEST_S - 2:
        why += f"; recorded for {length / 60:.1f} min, 15 min are asked"
    return Steady(first, last, slope, u, steady, why)
