"""Packets to frames: times, rates and levels, for all frames of a piece at once."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import repeat

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.line.activity import Busy
from partingline.readers.cc.line.frame import Frame
from partingline.readers.cc.line.packets import PREAMBLE_BITS, Packet, places
from partingline.readers.cc.line.segments import Segments
from partingline.readers.cc.line.slicer import Edges

_LEAST_BYTES = 6
"""A header and a CRC."""
_LEVEL_FROM, _LEVEL_COUNT = 9, 24


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a channel. `samples`: None when only edges are known; `start`: its place in the whole."""

    samples: npt.NDArray[np.number] | None
    start: int
    rate_hz: float
    volts: float
    offset: float
    channel: str

    def levels(self, edges: Edges, first: npt.NDArray[np.int64]) -> npt.NDArray[np.float64]:
        """Low and high level (raw) of each stretch, from the middles of its preamble's intervals."""
        if self.samples is None:
            return np.full((len(first), 2), np.nan)
        number = first[:, None] + _LEVEL_FROM + np.arange(_LEVEL_COUNT)
        middles = (edges[number] + edges[number + 1] + 1) >> 1
        values = self.samples[middles].astype(np.float64)
        pair = np.stack((values[:, ::2].mean(axis=1), values[:, 1::2].mean(axis=1)), axis=1)
        return np.sort(pair, axis=1)

    def level_doubt(
        self, busy: Busy | None, edges: Edges, segments: Segments, levels: npt.NDArray[np.float64]
    ) -> npt.NDArray[np.bool_]:
        """Which stretches were sliced off the middle of their own levels, at their start, middle or end."""
        if busy is None:
            return np.zeros(len(levels), dtype=np.bool_)
        edge = np.stack((segments.first, (segments.first + segments.stop) // 2, segments.stop - 1))
        block = np.minimum(edges[edge] // busy.block, len(busy.level) - 1)
        off = np.abs(busy.level[block] - levels.mean(axis=1)).max(axis=0)
        doubt: npt.NDArray[np.bool_] = off > 0.15 * (levels[:, 1] - levels[:, 0])
        return doubt


def build_frames(
    piece: Piece,
    edges: Edges,
    segments: Segments,
    packets: list[Packet],
    levels: npt.NDArray[np.float64],
) -> list[Frame]:
    """One frame to each packet."""
    set_bit, stop = places(packets)
    at = [_bit_edges(edges, segments, bit) for bit in (np.maximum(set_bit - 32, 0), set_bit, stop)]
    with np.errstate(divide="ignore", invalid="ignore"):
        unit = np.where(set_bit >= 32, (at[1] - at[0]) / 32, segments.unit)
        rest = (at[2] - at[1]) / (stop - set_bit)
        drift = unit / rest - 1
        rate = piece.rate_hz / unit
    begin = (piece.start + at[1] - PREAMBLE_BITS * unit + 0.5) / piece.rate_hz
    end = (piece.start + at[2] + 0.5) / piece.rate_hz
    volts = np.sort(levels * piece.volts + piece.offset, axis=1)
    known = not np.isnan(volts).any()
    low, high = (column.tolist() if known else _or_none(column) for column in volts.T)
    sop, matched, _, _, data, preamble, reason = zip(*packets, strict=True)
    drifts = [one if why is None else None for one, why in zip(drift.tolist(), reason, strict=True)]
    told = [one[:-4] if len(one) >= _LEAST_BYTES else one for one in data]
    crc = [int.from_bytes(one[-4:], "little") if len(one) >= _LEAST_BYTES else None for one in data]
    bits = np.minimum(preamble, PREAMBLE_BITS).tolist()
    rows = zip(begin.tolist(), end.tolist(), sop, told, reason, crc, rate.tolist(), drifts, matched, bits, low, high,
               repeat(piece.channel), strict=False)  # fmt: skip
    return list(map(Frame._make, rows))


def _or_none(column: npt.NDArray[np.float64]) -> list[float | None]:
    return [None if one != one else one for one in column.tolist()]


def _bit_edges(edges: Edges, segments: Segments, bit: npt.NDArray[np.int64]) -> npt.NDArray[np.float64]:
    """Place of the edge that begins bit number `bit` of each stretch; its last edge where the bits end."""
    number = segments.bit_start[:-1] + bit
    inside = number < segments.bit_start[1:]
    held = np.minimum(number, len(segments.bit_edge) - 1)
    edge = np.where(inside, segments.bit_edge[held], segments.stop - 1)
    return edges[edge].astype(np.float64)
