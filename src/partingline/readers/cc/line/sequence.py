"""Bits of a frame at few samples a bit: maximum-likelihood sequence detection (Viterbi) over its half-bits.

At 1 MS/s a half-bit at 330 kbit/s holds one or two samples, and noise on a slope makes a whole bit look like a half.
Told apart are then not intervals but whole courses of the line: each bit begins with an edge, a 1 has another in its
middle, so that the level before a bit and the bit itself tell every sample within it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.line.preamble import Clock, find_clock

_FOLLOW_PHASE, _FOLLOW_RATE = 0.15, 0.01
"""Shares of a bit's timing error by which its successor is moved and the bit time changed."""
_RATE_ROOM = 0.02
"""How far the bit time may move from that of the preamble: eight times what a sender may change."""

_BEHIND = 2.5
"""Bits read behind the last edge, in which one may have been missed."""


class Course(NamedTuple):
    """Bits and where each begins, in samples (one place more: the end of the last); levels in raw units."""

    bits: npt.NDArray[np.uint8]
    begins: npt.NDArray[np.float64]
    low: float
    high: float


class _Path(NamedTuple):
    """A course up to the end of a bit: its cost, the next bit's begin and length in samples, and what led here."""

    cost: float
    begin: float
    unit: float
    bit: int
    before: _Path | None


def read_course(samples: npt.NDArray[np.float64], *, first: float, last: float, bit_samples: float) -> Course | None:
    """The likeliest bits between the places of the first and the last edge. `bit_samples`: nominal samples a bit.

    None where no preamble stands at the beginning.
    """
    clock = find_clock(samples, first=first, bit_samples=bit_samples)
    if clock is None:
        return None
    share = ((samples - clock.low) / (clock.high - clock.low)).tolist()
    end = min(last + _BEHIND * clock.unit, len(share) - 1.0)
    paths: list[_Path | None] = [None, None]
    paths[clock.level] = _Path(0.0, clock.begin, clock.unit, 0, None)
    while any(path is not None and path.begin + path.unit < end for path in paths):
        paths = _after_one_bit(share, paths, clock)
    best = min((path for path in paths if path is not None), key=lambda path: path.cost)
    return _told(best, clock, first)


def _after_one_bit(share: list[float], paths: list[_Path | None], clock: Clock) -> list[_Path | None]:
    """The better path to each level: a 0 turns the level over, a 1 leaves it."""
    best: list[_Path | None] = [None, None]
    for level, path in enumerate(paths):
        if path is None:
            continue
        for bit, (cost, slip) in enumerate(_misfit(share, path, level, clock.slope)):
            after = best[level ^ bit ^ 1]
            if after is None or cost < after.cost:
                slip = min(max(slip, -0.2 * path.unit), 0.2 * path.unit)
                unit = path.unit + _FOLLOW_RATE * slip
                unit = min(max(unit, clock.unit * (1 - _RATE_ROOM)), clock.unit * (1 + _RATE_ROOM))
                best[level ^ bit ^ 1] = _Path(cost, path.begin + path.unit + _FOLLOW_PHASE * slip, unit, bit, path)
    return best


def _misfit(share: list[float], path: _Path, level: int, slope: float) -> tuple[tuple[float, float], ...]:
    """For a 0 and for a 1: the cost with that bit, and how many samples later than thought its edges come.

    In units of the swing, counted from the level before: an edge up, for a 1 one down in the middle, and the edge that
    ends the bit.
    """
    half = path.unit / 2
    cost = [path.cost, path.cost]
    pull, weight = [0.0, 0.0], [1e-9, 1e-9]
    for at in range(max(0, math.ceil(path.begin)), min(len(share), math.ceil(path.begin + path.unit))):
        value = 1 - share[at] if level else share[at]
        place = (at - path.begin) / half
        begin, middle, end = (0.5 + (place - edge) / slope for edge in (0.0, 1.0, 2.0))
        up, mid, down = (min(max(step, 0.0), 1.0) for step in (begin, middle, end))
        on_begin, on_middle, on_end = (0.0 < step < 1.0 for step in (begin, middle, end))
        for bit in (0, 1):
            error = value - (up - mid + down if bit else up - down)
            cost[bit] += error * error
            rise = (on_begin - on_middle + on_end if bit else on_begin - on_end) / (slope * half)
            pull[bit] -= error * rise
            weight[bit] += rise * rise
    return tuple((cost[bit], pull[bit] / weight[bit]) for bit in (0, 1))


def _told(last: _Path, clock: Clock, first: float) -> Course:
    """The path from its end back, and the alternating bits of the preamble that lie before the clock's begin."""
    bits, begins = [], [last.begin]
    path: _Path | None = last
    while path is not None and path.before is not None:
        bits.append(path.bit)
        path = path.before
        begins.append(path.begin)
    ahead = max(0, round((clock.begin - first) / clock.unit))
    bits += [(number + 1) % 2 for number in range(ahead)]
    begins += [clock.begin - (number + 1) * clock.unit for number in range(ahead)]
    return Course(np.array(bits[::-1], np.uint8), np.array(begins[::-1]), clock.low, clock.high)
