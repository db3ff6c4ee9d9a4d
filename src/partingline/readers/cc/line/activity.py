"""Where on a channel there is signal: short looks at regular places; idle costs next to nothing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

BLOCK_S = 128e-6
"""One look every so often: shorter than any frame (a Hard Reset lasts 254 µs at 330 kbit/s)."""
LOOK_S = 13e-6
"""Length of a look: at least three bits at 270 kbit/s, so at least three edges while a frame runs."""
SWING_V = 0.45
"""Peak to peak that counts as signal: idle noise may reach 0.3 V (from memory), a frame 1.05 V or more."""

_SHORT_LOOK = 64
_WORTH_SKIPPING = 1 << 15
"""Fewer idle samples between two stretches cost less to slice than one stretch more (measured)."""


@dataclass(frozen=True, slots=True)
class Busy:
    """Stretches with signal. `spans`: (first, last + 1) sample; `level`: slicing level by block, raw."""

    block: int
    spans: list[tuple[int, int]]
    level: npt.NDArray[np.float64]


class ActivityFinder:
    """Finds busy stretches piece by piece; without a scale it goes by the largest swing seen."""

    def __init__(self, *, rate_hz: float, swing: float | None) -> None:
        """`swing` is SWING_V in raw sample units, or None when the scale is not known."""
        self.block = max(8, round(BLOCK_S * rate_hz))
        self._look = min(self.block, max(4, round(LOOK_S * rate_hz)))
        self._swing = swing
        self._largest = 0.0

    def find(self, samples: npt.NDArray[np.number]) -> Busy:
        """Look through one contiguous piece."""
        blocks = len(samples) // self.block
        if blocks == 0:
            whole = [(0, len(samples))] if len(samples) else []
            middle = (float(samples.min()) + float(samples.max())) / 2 if len(samples) else 0.0
            return Busy(self.block, whole, np.array([middle]))
        looks = samples[: blocks * self.block].reshape(blocks, self.block)[:, : self._look]
        low, high = _extremes(looks)
        swing = high - low
        active = np.flatnonzero(swing > self._threshold(swing))
        if active.size == 0:
            return Busy(self.block, [], np.zeros(0))
        level = _levels(active, blocks, low[active], swing[active])
        return Busy(self.block, _spans(active, blocks, self.block, len(samples)), level)

    def _threshold(self, swing: npt.NDArray[np.float64]) -> float:
        if self._swing is not None:
            return self._swing
        self._largest = max(self._largest, float(swing.max()))
        return 0.35 * self._largest


def _extremes(looks: npt.NDArray[np.number]) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Lowest and highest sample of each look. Short looks are turned on their side first: a fifth of the time."""
    if looks.shape[1] >= _SHORT_LOOK:
        return looks.min(axis=1).astype(np.float64), looks.max(axis=1).astype(np.float64)
    turned = [np.ascontiguousarray(looks[at : at + 1024].T) for at in range(0, len(looks), 1024)]
    low = np.concatenate([part.min(axis=0) for part in turned])
    high = np.concatenate([part.max(axis=0) for part in turned])
    return low.astype(np.float64), high.astype(np.float64)


def _levels(
    active: npt.NDArray[np.intp],
    blocks: int,
    low: npt.NDArray[np.float64],
    swing: npt.NDArray[np.float64],
) -> npt.NDArray[np.float64]:
    """Slicing level of each block; a block without signal takes that of the next one with signal.

    A look that straddles the start of a frame sees the idle level, which can lie above the signal: its
    swing is held to that of its kind.
    """
    middle = low + np.minimum(swing, 1.2 * np.median(swing)) / 2
    following = np.searchsorted(active, np.arange(blocks))
    filled: npt.NDArray[np.float64] = middle[np.minimum(following, len(active) - 1)]
    return filled


def _spans(active: npt.NDArray[np.intp], blocks: int, block: int, length: int) -> list[tuple[int, int]]:
    """A frame seen in a look may have begun in the block before and end in the block of the look."""
    gaps = np.flatnonzero(np.diff(active) > max(2, _WORTH_SKIPPING // block))
    first = active[np.concatenate(([0], gaps + 1))]
    last = active[np.concatenate((gaps, [len(active) - 1]))]
    begins = np.maximum(first - 1, 0) * block
    ends = np.where(last == blocks - 1, length, (last + 1) * block)
    return list(zip(begins.tolist(), ends.tolist(), strict=True))
