"""Change points in a noisy, slowly drifting signal, found without being told the steps.

Method: in windows of many lengths, a straight line is held against a straight line with one step in it; the narrowest
windows in which the step is significant are taken first, so that each holds one change only. Narrowest-over-threshold
(Baranowski, Chen, Fryzlewicz, J. R. Stat. Soc. B 81, 2019) on seeded windows (Kovács et al., Biometrika 110, 2023);
both from memory. The line takes up thermal drift, which is no change of load.
"""

import math

import numpy as np

from partingline.readers.logs.types import Floats, Ints

SHORTEST = 8
_GROWTH = 1.5
_MOST = 100_000


def change_points(signal: Floats, smallest: float) -> Ints:
    """Indices of the first sample after each change of at least `smallest`, in order. The signal holds no NaN.

    Plateaus shorter than about eight samples are not told apart.
    """
    n = len(signal)
    if n < SHORTEST:
        return np.empty(0, np.int64)
    if n > _MOST:
        return _thinned(signal, smallest)
    smooth = running_median(signal, 5)
    noise = max(scatter(signal), smallest * 0.02, 1e-12)
    windows = _windows(smooth, noise, smallest)
    return _local(smooth, noise, smallest, _narrowest(windows))


def running_median(signal: Floats, width: int) -> Floats:
    """Median over `width` samples about each one (an odd number; ends repeated): spikes of two samples vanish."""
    half = width // 2
    padded = np.concatenate([np.full(half, signal[0]), signal, np.full(half, signal[-1])])
    return np.asarray(np.median(np.lib.stride_tricks.sliding_window_view(padded, width), axis=1), dtype=np.float64)


def scatter(signal: Floats) -> float:
    """Standard deviation of white noise, from the median of the absolute differences: steps and drift do not count."""
    if len(signal) < 3:
        return 0.0
    return float(np.median(np.abs(np.diff(signal)))) / (0.6745 * math.sqrt(2.0))


def _windows(signal: Floats, noise: float, smallest: float) -> list[tuple[int, int, int]]:
    """(start, end, change) of the windows in which a step is significant, narrow ones first, best fit first."""
    n = len(signal)
    threshold = 3.0 * np.log(n) * noise * noise
    found: list[tuple[int, int, int]] = []
    length = SHORTEST
    while True:
        length = min(length, n)
        stride = max(1, length // 4)
        starts = np.append(np.arange(0, n - length, stride), n - length)
        blocks = max(1, 2_000_000 // length)
        same: list[tuple[float, int, int]] = []
        for first in range(0, len(starts), blocks):
            chosen = starts[first : first + blocks]
            gain, step, at = _best_step(signal[chosen[:, None] + np.arange(length)])
            good = (gain > threshold) & (np.abs(step) >= 0.6 * smallest)
            same += [
                (float(-g), int(s), int(s + a)) for g, s, a in zip(gain[good], chosen[good], at[good], strict=True)
            ]
        found += [(s, s + length, c) for _, s, c in sorted(same)]
        if length == n:
            return found
        length = int(length * _GROWTH)


def _best_step(window: Floats) -> tuple[Floats, Floats, Ints]:
    """For each row: the drop of the squared error by the best single step beside a line, that step, and where it is."""
    length = window.shape[1]
    t = np.arange(length) - (length - 1) / 2
    centred = window - window.mean(axis=1, keepdims=True)
    spread = float(t @ t)
    rest = centred - (centred @ t)[:, None] / spread * t
    after = np.arange(length - 2, 1, -1)
    tail_t = np.cumsum(t[::-1])[after - 1]
    free = after - after**2 / length - tail_t**2 / spread
    tail = np.cumsum(rest[:, ::-1], axis=1)[:, after - 1]
    gains = tail**2 / free
    best = np.argmax(gains, axis=1)
    row = np.arange(len(window))
    return gains[row, best], tail[row, best] / free[best], length - after[best]


def _narrowest(windows: list[tuple[int, int, int]]) -> Ints:
    """Changes by narrowest window; a window that already holds one of them says nothing new."""
    taken: list[int] = []
    for start, end, change in windows:
        if not any(start <= other <= end for other in taken):
            taken.append(change)
    return np.array(sorted(taken), dtype=np.int64)


def _local(signal: Floats, noise: float, smallest: float, changes: Ints) -> Ints:
    """Only the changes that are abrupt and large enough between the plateaus on both sides, and each where it is
    steepest."""
    kept = [int(change) for change in changes]
    while kept:
        edges = [0, *kept, len(signal)]
        jumps = [_jump(signal, a, b, c) for a, b, c in zip(edges, edges[1:], edges[2:], strict=False)]
        weakest = int(np.argmin(jumps))
        if jumps[weakest] >= max(0.8 * smallest, 3.0 * noise / np.sqrt(min(10, SHORTEST))):
            break
        del kept[weakest]
    return np.array([_steepest(signal, change) for change in kept], dtype=np.int64)


def _jump(signal: Floats, start: int, change: int, end: int) -> float:
    """Difference of the medians of up to ten samples on both sides, the two nearest left out."""
    before = signal[max(start, change - 12) : max(start + 1, change - 2)]
    after = signal[min(end - 1, change + 2) : min(end, change + 12)]
    return float(abs(np.median(after) - np.median(before)))


def _steepest(signal: Floats, change: int) -> int:
    low, high = max(1, change - 3), min(len(signal), change + 4)
    return low + int(np.argmax(np.abs(np.diff(signal[low - 1 : high]))))


def _thinned(signal: Floats, smallest: float) -> Ints:
    """A long record: found in medians of blocks, then placed to the sample within the two blocks about it."""
    block = -(-len(signal) // (_MOST // 2))
    whole = len(signal) // block * block
    coarse = np.median(signal[:whole].reshape(-1, block), axis=1)
    placed = []
    for change in change_points(coarse, smallest):
        low, high = max(0, (change - 2) * block), min(len(signal), (change + 2) * block)
        part = running_median(signal[low:high], 5)
        step = np.cumsum(part - part.mean())
        placed.append(low + int(np.argmax(np.abs(step))) + 1)
    return np.array(placed, dtype=np.int64)
