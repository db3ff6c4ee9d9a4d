"""A second look at one stretch: its own slicing level, its own bit time, no trust in its preamble."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.line.frame import Frame
from partingline.readers.cc.line.framing import Piece, build_frames
from partingline.readers.cc.line.packets import Packet, read_packet
from partingline.readers.cc.line.segments import NOMINAL_BIT_S, SHORTEST, Segments, read_bits_alone, split
from partingline.readers.cc.line.sequence import read_course
from partingline.readers.cc.line.slicer import Edges, slice_at, slice_swings

_MARGIN_S = 12e-6
_CLEAR_PREAMBLE = 24
_FEW_SAMPLES = 8.0
"""Samples a bit up to which edges alone can mislead: above, the proof reads every frame by them."""
_FINER = 64


def salvage(piece: Piece, seen: Frame | None, edges: Edges, levels: npt.NDArray[np.float64] | None) -> list[Frame]:
    """The frames in a stretch of edges that the quick way found damaged, sliced badly, too short or too long.

    An idle line at the slicing level ties frames together with noise: they are parted first. Of each a sound reading
    wins, then the one that says more. Empty when the stretch is no part of a frame.
    """
    parts = _parts(piece, edges)
    only = seen if len(parts) == 1 else None
    found = [_one(piece, only, edges[(edges >= part[0] - 1) & (edges <= part[-1] + 1)], part, levels) for part in parts]
    return [frame for frame in found if frame is not None]


def _parts(piece: Piece, edges: Edges) -> list[Edges]:
    """Stretches that swing through both levels of the signal, as edges; the stretch itself where none is long."""
    if piece.samples is None:
        return [edges]
    begin, stop = _around(piece, edges, piece.samples)
    samples = piece.samples[begin:stop]
    low, high = _levels(piece.samples[edges[0] : edges[-1] + 1])
    found = slice_swings(samples, float(low), float(high)) + begin
    first, last = split(found, rate_hz=piece.rate_hz)
    parts = [found[a:b] for a, b in zip(first.tolist(), last.tolist(), strict=True) if b - a > SHORTEST]
    return parts or [edges]


def _levels(samples: npt.NDArray[np.number]) -> tuple[float, float]:
    """Low and high level of a stretch, either of which the line has half of the time while a frame runs."""
    low, high = np.percentile(samples, (10, 90))
    return float(low), float(high)


def _one(
    piece: Piece, seen: Frame | None, edges: Edges, part: Edges, levels: npt.NDArray[np.float64] | None
) -> Frame | None:
    found = _by_edges(piece, seen, edges, part, levels)
    if found is not None and found.valid:
        return found
    return _by_course(piece, part) or found


def _by_edges(
    piece: Piece, seen: Frame | None, edges: Edges, part: Edges, levels: npt.NDArray[np.float64] | None
) -> Frame | None:
    tries = [] if seen is not None and seen.valid else [edges, part]
    again = _slice_again(piece, part, levels)
    tries += [again] if again is not None else []
    best: Frame | None = seen
    for attempt in tries:
        if attempt.size <= SHORTEST:
            continue
        segments = read_bits_alone(attempt, rate_hz=piece.rate_hz)
        packet = read_packet(segments.bits)
        if not _is_frame(piece, attempt, segments, packet):
            best = best if best is not None and best.valid else None
            continue
        frame = _build(piece, attempt, segments, packet)
        if frame.valid:
            return frame
        if best is None or len(frame.payload) > len(best.payload) or (best is seen and not best.valid):
            best = frame
    return best


def _by_course(piece: Piece, edges: Edges) -> Frame | None:
    """The sound frame that the whole course of the line tells where it holds few samples a bit.

    No wrong bit is forgiven: all four symbols, CRC and end must be right.
    """
    bit_samples = NOMINAL_BIT_S * piece.rate_hz
    if piece.samples is None or bit_samples > _FEW_SAMPLES or edges.size <= SHORTEST:
        return None
    begin, stop = _around(piece, edges, piece.samples)
    samples = piece.samples[begin:stop].astype(np.float64)
    course = read_course(samples, first=int(edges[0]) - begin, last=int(edges[-1]) - begin, bit_samples=bit_samples)
    if course is None:
        return None
    packet = read_packet(course.bits)
    if packet.reason is not None or packet.matched < 4:
        return None
    # Places between samples, as whole numbers of a finer piece.
    places = np.round((course.begins + begin) * _FINER).astype(np.int64)
    count = course.bits.size
    segments = Segments(
        first=np.array([0]),
        stop=np.array([count + 1]),
        unit=np.array([(places[-1] - places[0]) / count]),
        bits=course.bits,
        bit_start=np.array([0, count]),
        bit_edge=np.arange(count),
    )
    finer = replace(piece, samples=None, start=piece.start * _FINER, rate_hz=piece.rate_hz * _FINER)
    return build_frames(finer, places, segments, [packet], np.array([[course.low, course.high]]))[0]


def _around(piece: Piece, edges: Edges, samples: npt.NDArray[np.number]) -> tuple[int, int]:
    """The stretch with a margin on either side, as far as there are samples."""
    margin = round(_MARGIN_S * piece.rate_hz)
    return max(0, int(edges[0]) - margin), min(len(samples), int(edges[-1]) + margin)


def _build(piece: Piece, edges: Edges, segments: Segments, packet: Packet) -> Frame:
    # Levels need whole intervals of the preamble; a shorter stretch tells none.
    if edges.size > 60:
        levels = piece.levels(edges, segments.first)
    else:
        levels = np.full((1, 2), np.nan)
    return build_frames(piece, edges, segments, [packet], levels)[0]


def _slice_again(piece: Piece, edges: Edges, levels: npt.NDArray[np.float64] | None) -> Edges | None:
    if piece.samples is None:
        return None
    begin, stop = _around(piece, edges, piece.samples)
    samples = piece.samples[begin:stop]
    low, high = _levels(piece.samples[edges[0] : edges[-1] + 1]) if levels is None else levels
    if not low < high:
        return None
    found = slice_at(samples, float(low + high) / 2, rate_hz=piece.rate_hz) + begin
    first, last = split(found, rate_hz=piece.rate_hz)
    if first.size == 0:
        return None
    longest = int(np.argmax(last - first))
    return found[first[longest] : last[longest]]


def _is_frame(piece: Piece, edges: Edges, segments: Segments, packet: Packet) -> bool:
    """A frame shows a preamble; one that began before the recording shows clean bits alone."""
    unit_s = float(segments.unit[0]) / piece.rate_hz
    if not 2.4e-6 < unit_s < 4.6e-6:
        return False
    if packet.preamble_bits >= _CLEAR_PREAMBLE or packet.reason is None:
        return True
    spans = np.diff(edges) / segments.unit[0]
    usual = bool(((spans > 0.3) & (spans < 1.45)).mean() > 0.97)
    shares = float((spans < 0.75).mean())
    return usual and 0.2 < shares < 0.9 and _steady(segments, edges)


def _steady(segments: Segments, edges: Edges) -> bool:
    """Whole-bit intervals stand on one phase, as they do in biphase mark code and hardly elsewhere."""
    whole = int((np.diff(edges) >= 0.75 * segments.unit[0]).sum())
    return int((segments.bits == 0).sum()) >= 0.95 * whole
