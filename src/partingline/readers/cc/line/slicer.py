"""Samples to edges: the places where the line crosses the slicing level."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.line.activity import Busy

Edges: TypeAlias = npt.NDArray[np.int64]

CHUNK = 1 << 18
SETTLE_S = 0.7e-6
"""Crossings closer than this belong to one edge (noise on a slope) or to a glitch."""

_RARE = 80
"""Samples an edge from which on looking at eight of them at once takes less time (measured)."""
_CLEAR = 0.15
"""Distance from the slicing level, as a share of the swing: twice as much is more than noise on an idle line spans."""


def slice_busy(samples: npt.NDArray[np.number], busy: Busy, *, rate_hz: float) -> Edges:
    """Edges of all busy stretches, as index of the last sample before each crossing, cleaned of chatter."""
    levels = _as_raw(samples, busy.level)
    found = [
        _crossings(samples[at:end], levels[min(at // busy.block, len(levels) - 1) :], busy.block) + at
        for begin, stop in busy.spans
        for at, end in _chunks(begin, stop, busy.block)
    ]
    edges = np.concatenate(found) if found else np.zeros(0, np.int64)
    return settle(edges, rate_hz=rate_hz)


def slice_at(samples: npt.NDArray[np.number], level: float, *, rate_hz: float) -> Edges:
    """Edges of one stretch at a single level, cleaned of chatter."""
    above = samples > _as_raw(samples, np.array([level]))[0]
    return settle(np.flatnonzero(above[1:] != above[:-1]).astype(np.int64), rate_hz=rate_hz)


def slice_swings(samples: npt.NDArray[np.number], low: float, high: float) -> Edges:
    """Edges between samples clearly low and samples clearly high, in the middle between them: what stays about the
    slicing level has none."""
    place = samples.astype(np.float64) - (low + high) / 2
    clear = np.flatnonzero(np.abs(place) > _CLEAR * (high - low))
    up = place[clear] > 0
    turns = np.flatnonzero(up[1:] != up[:-1])
    swings: Edges = (clear[turns] + clear[turns + 1]) // 2
    return swings


def settle(edges: Edges, *, rate_hz: float) -> Edges:
    """Join crossings that lie within SETTLE_S: an odd number is one edge in their middle, an even none."""
    near = SETTLE_S * rate_hz
    gaps = np.diff(edges)
    if edges.size < 2 or not (gaps < near).any():
        return edges
    first = np.concatenate(([0], np.flatnonzero(gaps >= near) + 1))
    count = np.diff(np.concatenate((first, [edges.size])))
    last = first + count - 1
    odd = count % 2 == 1
    joined: Edges = (edges[first[odd]] + edges[last[odd]]) // 2
    return joined


def _chunks(begin: int, stop: int, block: int) -> list[tuple[int, int]]:
    """Whole blocks at a time, each chunk one sample longer so that no crossing falls between two."""
    step = max(1, CHUNK // block) * block
    return [(at, min(at + step + 1, stop)) for at in range(begin, stop, step)]


def _crossings(samples: npt.NDArray[np.number], levels: npt.NDArray[np.number], block: int) -> Edges:
    count = len(samples)
    rows = count // block
    above = np.empty(count + 8 & ~7, dtype=np.bool_)
    body = samples[: rows * block].reshape(rows, block)
    np.greater(body, levels[:rows, None], out=above[: rows * block].reshape(rows, block))
    tail = levels[min(rows, len(levels) - 1)]
    np.greater(samples[rows * block :], tail, out=above[rows * block : count])
    above[count:] = above[count - 1]
    changed = np.zeros(len(above), dtype=np.uint8)
    raw = above.view(np.uint8)
    np.bitwise_xor(raw[1:], raw[:-1], out=changed[:-1])
    return _positions(changed)


def _positions(changed: npt.NDArray[np.uint8]) -> Edges:
    """Positions of the ones: where they are rare, as the first eighth shows, by the eight-byte words that hold any."""
    ones = changed.view(np.bool_)
    if np.count_nonzero(ones[: ones.size >> 3]) * _RARE > ones.size >> 3:
        return np.flatnonzero(ones)
    words = changed.view(np.uint64)
    where = np.flatnonzero(words != 0)
    inside = np.flatnonzero(words[where].view(np.bool_))
    positions: Edges = where[inside >> 3] * 8 + (inside & 7)
    return positions


def _as_raw(samples: npt.NDArray[np.number], level: npt.NDArray[np.float64]) -> npt.NDArray[np.number]:
    """Levels in the samples' own type: a comparison across types would convert every sample."""
    if samples.dtype.kind == "f":
        return level.astype(samples.dtype)
    bounds = np.iinfo(str(samples.dtype))
    return np.clip(np.floor(level), bounds.min, bounds.max).astype(samples.dtype)
