"""VBUS in the same recording: level at power ready and after, slew and overshoot of the change before it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.inputs.recording import Channel, Recording

BIN_S = 20e-6
"""Samples are averaged over this time before extremes are taken, so that noise is no overshoot."""
SLEW_BINS = 5
"""Slew is taken over this many bins (100 µs)."""
READY_S = 1e-3
AFTER_S = 50e-3
HELD_S = 0.35
"""How long VBUS is watched behind a refusal: a change that was granted is done within 285 ms of the 35 ms before it."""
SAFE_5V = (4.75, 5.5)
_PIECE = 1 << 20


@dataclass(frozen=True, slots=True)
class VbusMeasure:
    """Volts and volts a second. `target_v` is the contract's voltage; overshoot and undershoot are measured from it
    over the change and up to AFTER_S behind it (undershoot only behind power ready)."""

    target_v: float
    before_v: float
    at_ready_v: float
    after_mean_v: float
    after_min_v: float
    after_max_v: float
    peak_v: float
    slew_v_per_s: float

    @property
    def overshoot_v(self) -> float:
        """How far VBUS went beyond the target in the direction of the change; 0 when it did not."""
        if self.before_v <= self.target_v:
            return max(0.0, self.peak_v - self.target_v)
        return max(0.0, self.target_v - self.peak_v)


@dataclass(frozen=True, slots=True)
class Envelope:
    """A channel in equal bins: begin of each bin in seconds, and its lowest, highest and mean value."""

    time_s: npt.NDArray[np.float64]
    low: npt.NDArray[np.float64]
    high: npt.NDArray[np.float64]
    mean: npt.NDArray[np.float64]


def envelope(recording: Recording, channel: Channel, start_s: float, stop_s: float, bin_s: float) -> Envelope:
    """Values between two times in bins of about `bin_s`; memory does not depend on the length of a bin."""
    per_bin = max(1, round(bin_s * recording.rate_hz))
    start = min(max(0, round(start_s * recording.rate_hz)), recording.length)
    stop = min(max(start, round(stop_s * recording.rate_hz)), recording.length)
    rows = list(_bins(recording, channel, start, stop, per_bin))
    table = np.concatenate(rows) if rows else np.zeros((0, 3))
    values = table * channel.scale + channel.offset
    times = (start + np.arange(len(table)) * per_bin) / recording.rate_hz
    pair = np.sort(values[:, :2], axis=1)
    return Envelope(times, pair[:, 0], pair[:, 1], values[:, 2])


def measure_vbus(
    recording: Recording,
    channel: Channel,
    *,
    accepted_s: float,
    ready_s: float,
    target_v: float,
    until_s: float = math.inf,
    after_s: float = AFTER_S,
) -> VbusMeasure | None:
    """The change of VBUS between acceptance and power ready, and what follows for `after_s` or to `until_s`, when the
    next change begins. None when it is not covered."""
    change = envelope(recording, channel, accepted_s, min(ready_s + after_s, max(until_s, ready_s + READY_S)), BIN_S)
    before = recording.values(channel, accepted_s - READY_S, accepted_s)
    at_ready = recording.values(channel, ready_s, ready_s + READY_S)
    after = change.mean[change.time_s >= ready_s]
    if before.size == 0 or at_ready.size == 0 or after.size == 0 or not np.isfinite(change.mean).all():
        return None
    rising = float(before.mean()) <= target_v
    steps = np.abs(change.mean[SLEW_BINS:] - change.mean[:-SLEW_BINS])
    bin_s = round(BIN_S * recording.rate_hz) / recording.rate_hz or 1 / recording.rate_hz
    return VbusMeasure(
        target_v=target_v,
        before_v=float(before.mean()),
        at_ready_v=float(at_ready.mean()),
        after_mean_v=float(after.mean()),
        after_min_v=float(after.min()),
        after_max_v=float(after.max()),
        peak_v=float(change.mean.max() if rising else change.mean.min()),
        slew_v_per_s=float(steps.max()) / (SLEW_BINS * bin_s) if steps.size else 0.0,
    )


def _bins(
    recording: Recording, channel: Channel, start: int, stop: int, per_bin: int
) -> Iterator[npt.NDArray[np.float64]]:
    if per_bin >= _PIECE:
        for at in range(start, stop, per_bin):
            yield _long_bin(recording, channel, at, min(at + per_bin, stop))
        return
    step = _PIECE // per_bin * per_bin
    for at in range(start, stop, step):
        block = recording.read(channel, at, min(at + step, stop))
        edges = np.arange(0, len(block), per_bin)
        if len(edges):
            count = np.diff(np.append(edges, len(block)))
            yield np.stack(
                (
                    np.minimum.reduceat(block, edges).astype(np.float64),
                    np.maximum.reduceat(block, edges).astype(np.float64),
                    np.add.reduceat(block, edges, dtype=np.float64) / count,
                ),
                axis=1,
            )


def _long_bin(recording: Recording, channel: Channel, start: int, stop: int) -> npt.NDArray[np.float64]:
    low, high, total = np.inf, -np.inf, 0.0
    for at in range(start, stop, _PIECE):
        block = recording.read(channel, at, min(at + _PIECE, stop))
        if len(block):
            low, high = min(low, float(block.min())), max(high, float(block.max()))
            total += float(block.sum(dtype=np.float64))
    return np.array([[low, high, total / max(1, stop - start)]])
