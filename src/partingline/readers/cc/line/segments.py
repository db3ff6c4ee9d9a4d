"""Edges to bits, all frames of a piece at once: split at gaps, measure the bit time, halves from wholes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.line.slicer import Edges

GAP_S = 8e-6
"""A line still for longer than this ends a frame: a bit lasts 3.70 µs at most, two frames lie 25 µs apart."""
NOMINAL_BIT_S = 1 / 300e3
SHORTEST = 30
"""Edge intervals a stretch needs to be looked at; a Hard Reset has 120 or more."""
_SKIP, _TRIPLES = 9, 27
PREAMBLE_INTERVALS = _SKIP + 3 * _TRIPLES
"""The preamble's intervals repeat long, short, short; any 3 n last 2 n bits. The first may be lost."""


@dataclass(frozen=True, slots=True)
class Segments:
    """Stretches of edges. `first`, `stop`: edge numbers (stop not included); one item each to a stretch.

    bit_s: bit time in samples; phase-checked `bits` of all stretches one after the other, those of stretch
    i at bit_start[i] to bit_start[i + 1]; the bits' begin as edge number in `bit_edge`.
    """

    first: npt.NDArray[np.int64]
    stop: npt.NDArray[np.int64]
    unit: npt.NDArray[np.float64]
    bits: npt.NDArray[np.uint8]
    bit_start: npt.NDArray[np.int64]
    bit_edge: npt.NDArray[np.int64]


def split(edges: Edges, *, rate_hz: float) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """First edge and edge after the last of each stretch, gaps aside; short stretches included."""
    if edges.size == 0:
        empty = np.zeros(0, np.int64)
        return empty, empty
    cuts = np.flatnonzero(np.diff(edges) > GAP_S * rate_hz) + 1
    return np.concatenate(([0], cuts)), np.concatenate((cuts, [edges.size]))


def read_bits(edges: Edges, first: npt.NDArray[np.int64], stop: npt.NDArray[np.int64]) -> Segments:
    """Bits of stretches of more than PREAMBLE_INTERVALS intervals, trusting that a preamble leads them.

    All intervals from the first stretch to the last are looked at in one go; those between stretches begin no bit. A
    bit begins where the number of halves before is even from a whole bit of the preamble on, which is the number of
    short intervals before it: one byte holds its parity.
    """
    base, ends = int(first[0]), np.append(first[1:], stop[-1] - 1)
    spans = np.diff(edges[base : int(stop[-1])])
    unit = (edges[first + _SKIP + 3 * _TRIPLES] - edges[first + _SKIP]) / (2 * _TRIPLES)
    count = ends - first
    short = (spans < np.repeat(np.ceil(0.75 * unit).astype(np.int64), count)).view(np.uint8)
    parity = np.cumsum(short, dtype=np.uint8)
    parity ^= short
    third = (first - base)[:, None] + _SKIP + np.arange(3)
    whole = third[np.arange(len(first)), np.argmin(short[third], axis=1)]
    parity ^= np.repeat(parity[whole], count)
    boundary = (parity & 1) == 0
    rest = np.maximum(ends - (stop - 1), 0)
    boundary[np.repeat(stop - 1 - base, rest) + _ramp(rest)] = False
    where = np.flatnonzero(boundary)
    bit_start = np.append(np.searchsorted(where, first - base), len(where))
    return Segments(first, stop, unit, short[where], bit_start, where + base)


def read_bits_alone(edges: Edges, *, rate_hz: float) -> Segments:
    """Bits of one stretch without trusting its preamble: nominal bit time first, then as measured.

    The phase is that on which most whole-bit intervals lie.
    """
    spans = np.diff(edges)
    unit = NOMINAL_BIT_S * rate_hz
    for _ in range(2):
        sound = (spans > 0.3 * unit) & (spans < 1.45 * unit)
        if not sound.any():
            break
        halves = np.where(spans[sound] < 0.75 * unit, 1, 2)
        unit = 2.0 * float(spans[sound].sum()) / float(halves.sum())
    short = spans < 0.75 * unit
    phase = np.concatenate(([0], np.cumsum(2 - short.view(np.int8))))[:-1] & 1
    odd = 2 * int((phase[~short] == 1).sum()) > int((~short).sum())
    boundary = phase == odd
    bits = short[boundary].view(np.uint8)
    return Segments(
        first=np.array([0]),
        stop=np.array([edges.size]),
        unit=np.array([unit]),
        bits=bits,
        bit_start=np.array([0, bits.size]),
        bit_edge=np.flatnonzero(boundary),
    )


def _ramp(count: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    """0, 1, ... for each count, one after the other."""
    total = int(count.sum())
    ends = np.cumsum(count)
    return np.arange(total) - np.repeat(ends - count, count)
