"""Rows in the order of time: what was recorded twice, out of order, after a restart, and where the record has gaps."""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np

from partingline.model import Cell, Rows
from partingline.readers.logs.stamps import Stamps
from partingline.readers.logs.types import Floats, Ints, Notes, row_list

GAP = 10.0
"""A gap is an interval that is this many times the usual one."""
_MOST, _PIECE = 20, 1 << 17


@dataclass(frozen=True, slots=True)
class Order:
    """`index` picks the samples that are kept, in the order of time (None: all as they stand); `rows` and `time_s` are
    theirs."""

    index: Ints | None
    rows: Ints
    time_s: Floats


def in_order(stamps: Stamps, rows: Ints, texts: Sequence[Hashable], notes: Notes, column: str) -> Order:
    """The kept samples by time, seconds counted from the first. `texts`: the rows as written, to know repeats;
    `column`: the name of the column of time."""
    if len(rows) > 1 and _rises(stamps.seconds):
        _gaps(stamps.seconds, rows, notes, column)
        start = stamps.seconds[0]
        return Order(None, rows, stamps.seconds - start if start else stamps.seconds)
    seconds = _restarts(stamps.seconds, rows, notes, column)
    index = np.flatnonzero(~np.isnan(seconds))
    index = _unrepeated(index, seconds, rows, texts, notes, column)
    back = np.flatnonzero(np.diff(seconds[index]) < 0)
    if len(back):
        at = [int(rows[index[n + 1]]) for n in back]
        expected = "time that never goes back"
        notes.add(
            Cell(at[0], column), f"rows out of order (rows {row_list(at)})", expected, "Sorted by time.", loses=False
        )
        index = index[np.argsort(seconds[index], kind="stable")]
    time = seconds[index] - (seconds[index[0]] if len(index) else 0.0)
    _gaps(time, rows[index], notes, column)
    return Order(index, rows[index], time)


def _restarts(seconds: Floats, rows: Ints, notes: Notes, column: str) -> Floats:
    """Elapsed time that begins again near zero goes on after the last row: a second recording in the same file."""
    good = np.flatnonzero(~np.isnan(seconds))
    if len(good) < 4:
        return seconds
    kept = seconds[good]
    step = float(np.median(np.abs(np.diff(kept)))) or 1.0
    low = kept[0] + max(2 * step, 0.02 * float(np.ptp(kept)))
    backwards: list[int] = (np.flatnonzero(np.diff(kept) < -5 * step) + 1).tolist()
    falls = [n for n in backwards if n + 1 < len(kept) and kept[n] <= low and kept[n + 1] < kept[n - 1]]
    if not falls:
        return seconds
    kept = kept.copy()
    for n in falls:
        kept[n:] += kept[n - 1] + step - kept[n]
    at = [int(rows[good[n]]) for n in falls]
    expected, next_step = "one recording", "The rows after it are taken to follow; split the file if they do not."
    notes.add(Cell(at[0], column), f"the time begins again (rows {row_list(at)})", expected, next_step, loses=False)
    out = seconds.copy()
    out[good] = kept
    return out


def _unrepeated(index: Ints, seconds: Floats, rows: Ints, texts: Sequence[Hashable], notes: Notes, column: str) -> Ints:
    """Without the rows that repeat another one word for word; equal stamps with other readings are all kept."""
    _, counts = np.unique(seconds[index], return_counts=True)
    if not (counts > 1).any():
        return index
    seen: set[Hashable] = set()
    keep: list[int] = []
    twice: list[int] = []
    for n in index:
        (twice if texts[n] in seen else keep).append(int(n))
        seen.add(texts[n])
    if twice:
        at = [int(rows[n]) for n in twice]
        found = f"rows that were recorded twice (rows {row_list(at)})"
        notes.add(Cell(at[0], column), found, "each row once", "Counted once.", loses=False)
    return np.array(keep, dtype=np.int64)


def _rises(seconds: Floats) -> bool:
    """Whether each stamp is later than the one before; piece by piece, since a long record fits no cache."""
    return all(float(np.diff(seconds[n : n + _PIECE + 1]).min(initial=1.0)) > 0 for n in range(0, len(seconds), _PIECE))


def _gaps(time: Floats, rows: Ints, notes: Notes, column: str) -> None:
    if len(time) < 6:
        return
    starts = range(0, len(time), _PIECE)
    some = (
        np.diff(time[:_PIECE]) if len(time) < _PIECE else np.concatenate([np.diff(time[n : n + 1000]) for n in starts])
    )
    positive = some[some > 0]
    if len(positive) < 5:
        return
    usual = float(np.median(positive))
    found = 0
    for start in starts:
        steps = np.diff(time[start : start + _PIECE + 1])
        for n in (np.flatnonzero(steps > GAP * usual) + start)[: _MOST - found].tolist():
            told = f"a gap of {time[n + 1] - time[n]:.3g} s where {usual:.3g} s is usual"
            place = Rows(int(min(rows[n : n + 2])), int(max(rows[n : n + 2])), column)
            notes.add(place, told, "samples without a gap", "Nothing is filled in.", loses=False)
            found += 1
