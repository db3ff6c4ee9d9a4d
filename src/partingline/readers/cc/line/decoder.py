"""From a channel's samples, or from edges alone, to frames: piece by piece, in constant memory."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from operator import itemgetter
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.line.activity import SWING_V, ActivityFinder, Busy
from partingline.readers.cc.line.frame import Frame
from partingline.readers.cc.line.framing import Piece, build_frames
from partingline.readers.cc.line.packets import PREAMBLE_BITS, places, read_packets
from partingline.readers.cc.line.salvage import salvage
from partingline.readers.cc.line.segments import GAP_S, PREAMBLE_INTERVALS, SHORTEST, read_bits, split
from partingline.readers.cc.line.slicer import Edges, slice_busy

PIECE = 1 << 23
"""Samples taken at a time."""
LONGEST_S = 12e-3
"""No frame is longer: the longest unchunked message lasts 10.3 ms at 270 kbit/s."""
MOST_BESIDE = 20
"""Bits before or behind a packet in its stretch: more may be another one, tied to it by noise on an idle line."""

Read: TypeAlias = Callable[[int, int], npt.NDArray[np.number]]


@dataclass(frozen=True, slots=True)
class Scale:
    """Volts = raw * volts + offset; `known` tells whether the recording says so."""

    volts: float = 1.0
    offset: float = 0.0
    known: bool = True


def decode_samples(
    samples: npt.NDArray[np.number], *, rate_hz: float, scale: Scale = Scale(), channel: str = "cc1"
) -> list[Frame]:
    """All frames of one channel held in memory."""
    return list(
        decode_stream(lambda at, stop: samples[at:stop], len(samples), rate_hz=rate_hz, scale=scale, channel=channel)
    )


def decode_stream(
    read: Read, length: int, *, rate_hz: float, scale: Scale = Scale(), channel: str = "cc1", most: int = PIECE
) -> Iterator[Frame]:
    """Frames in time order from `read(start, stop)`, which gives contiguous samples of one channel, about `most` at a
    time."""
    finder = ActivityFinder(rate_hz=rate_hz, swing=SWING_V / abs(scale.volts) if scale.known else None)
    piece = max(most, round(2 * LONGEST_S * rate_hz))
    at = 0
    while at < length:
        stop = min(at + piece, length)
        samples = read(at, stop)
        frames, used = _decode_piece(
            Piece(samples, at, rate_hz, scale.volts, scale.offset, channel), finder, last=stop >= length
        )
        yield from frames
        at += used


def decode_edges(times_s: npt.NDArray[np.float64], *, channel: str = "cc1") -> list[Frame]:
    """Frames from edge times alone, as a logic recording gives them."""
    rate_hz = 1e9
    edges = np.round(times_s * rate_hz).astype(np.int64)
    piece = Piece(None, 0, rate_hz, 1.0, 0.0, channel)
    first, stop = split(edges, rate_hz=rate_hz)
    return _frames(piece, None, edges, first, stop)


def _decode_piece(piece: Piece, finder: ActivityFinder, *, last: bool) -> tuple[list[Frame], int]:
    """Frames that end within the piece, and how many of its samples are done with."""
    assert piece.samples is not None
    length = len(piece.samples)
    busy = finder.find(piece.samples)
    edges = slice_busy(piece.samples, busy, rate_hz=piece.rate_hz)
    first, stop = split(edges, rate_hz=piece.rate_hz)
    used = length
    if not last:
        # A frame still running, and what the last looks may have missed, is read again with the next piece.
        quiet = length - 3 * finder.block
        used = quiet
        if first.size and edges[stop[-1] - 1] > quiet - finder.block:
            used = int(edges[first[-1]]) - round(GAP_S * piece.rate_hz / 2)
        if length - used > LONGEST_S * piece.rate_hz + 4 * finder.block:
            used = quiet
        keep = edges[first] < used
        first, stop = first[keep], stop[keep]
    return _frames(piece, busy, edges, first, stop), used


def _frames(
    piece: Piece, busy: Busy | None, edges: Edges, first: npt.NDArray[np.int64], stop: npt.NDArray[np.int64]
) -> list[Frame]:
    count = stop - first - 1
    long = count > PREAMBLE_INTERVALS + 3
    found: list[Frame] = []
    if long.any():
        segments = read_bits(edges, first[long], stop[long])
        packets = read_packets(segments)
        levels = piece.levels(edges, segments.first)
        doubt = piece.level_doubt(busy, edges, segments, levels)
        set_bit, stop_bit = places(packets)
        doubt |= np.maximum(set_bit - PREAMBLE_BITS, np.diff(segments.bit_start) - stop_bit) > MOST_BESIDE
        frames = build_frames(piece, edges, segments, packets, levels)
        doubt |= [frame.reason is not None for frame in frames]
        found = [frame for frame, doubtful in zip(frames, doubt.tolist(), strict=True) if not doubtful]
        for i in np.flatnonzero(doubt).tolist():
            found += salvage(piece, frames[i], edges[segments.first[i] : segments.stop[i]], levels[i])
    for i in np.flatnonzero(~long & (count >= SHORTEST)).tolist():
        found += salvage(piece, None, edges[first[i] : stop[i]], None)
    return sorted(found, key=itemgetter(0))
