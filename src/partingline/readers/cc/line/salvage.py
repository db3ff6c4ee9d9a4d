"""A second look at one stretch: its own slicing level, its own bit time, no trust in its preamble."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.line.frame import Frame
from partingline.readers.cc.line.framing import Piece, build_frames
from partingline.readers.cc.line.packets import Packet, read_packet
from partingline.readers.cc.line.segments import SHORTEST, Segments, read_bits_alone, split
from partingline.readers.cc.line.slicer import Edges, slice_at

_MARGIN_S = 12e-6
_CLEAR_PREAMBLE = 24


def salvage(piece: Piece, seen: Frame | None, edges: Edges, levels: npt.NDArray[np.float64] | None) -> Frame | None:
    """The frame in a stretch of edges that the quick way found damaged, sliced badly, or too short.

    A sound reading wins, then the one that says more. None when the stretch is no part of a frame.
    """
    tries = [] if seen is not None and seen.valid else [edges]
    again = _slice_again(piece, edges, levels)
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
    margin = round(_MARGIN_S * piece.rate_hz)
    begin, stop = max(0, int(edges[0]) - margin), min(len(piece.samples), int(edges[-1]) + margin)
    samples = piece.samples[begin:stop]
    low, high = np.percentile(samples[: max(1, len(samples) // 2)], (10, 90)) if levels is None else levels
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
