"""CSV recordings: a time column and one column a channel, as oscilloscopes export them.

The text is turned once, a block of lines at a time, into an unnamed temporary file of float32, which is then
read like any other recording.
"""

from __future__ import annotations

import itertools
import re
import tempfile
import weakref
from collections.abc import Iterator
from pathlib import Path
from typing import IO

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.inputs.recording import (
    Channel,
    Options,
    Recording,
    name_channels,
    rate_problem,
    unit_of,
)
from partingline.readers.cc.problem import Problem, UnreadableError

_BLOCK_LINES = 1 << 16
_HEAD_LINES = 64
_PREFIX = {"": 1.0, "m": 1e-3, "u": 1e-6, "µ": 1e-6, "n": 1e-9, "k": 1e3}
_NEXT = "Export the time column and the channels again, one sample a line."


class _Layout:
    """What the first lines tell: where the numbers begin, separator, decimal mark, names and units."""

    def __init__(self, path: Path, lines: list[str]) -> None:
        self.first = next((i for i, line in enumerate(lines) if _numbers(line) is not None), -1)
        if self.first < 0:
            raise UnreadableError(
                [Problem(path.name, "no line of numbers at the top", "time and volts in columns", _NEXT)]
            )
        sample = lines[self.first]
        self.separator, self.comma = _numbers(sample) or (",", False)
        self.columns = len(_cells(sample, self.separator))
        if self.columns < 2:
            place = f"{path.name}, line {self.first + 1}"
            raise UnreadableError([Problem(place, "one column", "time and at least one channel", _NEXT)])
        heads = [_cells(line, self.separator) for line in lines[: self.first]]
        rows = [row for row in heads if len(row) == self.columns]
        self.heads = [" ".join(row[i] for row in rows) for i in range(self.columns)]


def open_csv(path: Path, options: Options) -> Recording:
    """Open and convert. Raises UnreadableError when there is nothing to read; bad lines become problems."""
    with path.open(encoding="utf-8-sig", errors="replace", newline=None) as file:
        layout = _Layout(path, list(itertools.islice(file, _HEAD_LINES)))
    store: IO[bytes] = tempfile.TemporaryFile()  # noqa: SIM115  lives as long as the recording
    stored = _Stored(store, layout.columns - 1)
    bad: list[int] = []
    length, first_s, last_s = 0, np.nan, np.nan
    for rows in _blocks(path, layout, bad):
        time = rows[:, 0]
        sound = time[np.isfinite(time)]
        if sound.size:
            first_s = float(sound[0]) if np.isnan(first_s) else first_s
            last_s = float(sound[-1])
        rows[:, 1:].astype("<f4").tofile(store)
        length += len(rows)
    store.flush()
    unit_s = _unit(layout.heads[0], "s")
    rate_hz = options.rate_hz or _rate(path, length, (last_s - first_s) * unit_s)
    return Recording(
        path=path,
        kind="CSV",
        rate_hz=rate_hz,
        length=length,
        channels=_channels(layout, options),
        raw=stored,
        problems=_bad_lines(path, bad) + rate_problem(path.name, rate_hz),
    )


def _rate(path: Path, length: int, span_s: float) -> float:
    if length < 2 or not span_s > 0:
        found = f"{length} samples over {span_s:g} s"
        raise UnreadableError([Problem(path.name, found, "a rising time column", _NEXT)])
    return (length - 1) / span_s


def _channels(layout: _Layout, options: Options) -> tuple[Channel, ...]:
    heads = layout.heads[1:]
    found = [re.search(r"cc\s*1|cc\s*2|vbus|current|\bcc\b", head.lower()) for head in heads]
    spare = iter(name for name in ("cc1", "cc2", "vbus", "current") if not any(found))
    named = [_plain(match[0]) if match else next(spare, f"channel{i + 1}") for i, match in enumerate(found)]
    names = name_channels(len(heads), options, tuple(named))
    units = [_unit(head, unit_of(name)) for head, name in zip(heads, names, strict=True)]
    scale, offset = options.scale or 1.0, options.offset or 0.0
    return tuple(
        Channel(name, scale * unit, offset, True, unit_of(name)) for name, unit in zip(names, units, strict=True)
    )


def _plain(name: str) -> str:
    name = name.replace(" ", "")
    return "cc1" if name == "cc" else name


def _unit(head: str, unit: str) -> float:
    """The factor of a unit in brackets, such as (ms) or [mV]; 1 when none is told."""
    match = re.search(rf"[(\[]\s*([mkunµ]?){unit}\s*[)\]]", head, re.IGNORECASE)
    return _PREFIX.get(match[1].lower(), 1.0) if match else 1.0


def _numbers(line: str) -> tuple[str, bool] | None:
    """Separator and whether the decimal mark is a comma, when the whole line is numbers."""
    marks = ((";", True), ("\t", True), (";", False), (",", False), ("\t", False), (" ", False))
    for separator, comma in marks:
        cells = _cells(line, separator)
        if len(cells) < 2 or (comma and "," not in line):
            continue
        if all(_is_number(cell.replace(",", ".") if comma else cell) for cell in cells):
            return separator, comma
    return None


def _cells(line: str, separator: str) -> list[str]:
    cells = line.split() if separator == " " else line.strip().split(separator)
    return [cell.strip().strip('"') for cell in cells if cell.strip() or separator != ","]


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _blocks(path: Path, layout: _Layout, bad: list[int]) -> Iterator[npt.NDArray[np.float64]]:
    """Rows, a block at a time; a line that is no sample becomes a row of NaN, so that time goes on."""
    with path.open(encoding="utf-8-sig", errors="replace", newline=None) as file:
        number = layout.first
        rest = itertools.islice(file, layout.first, None)
        while lines := [line.strip() for line in itertools.islice(rest, _BLOCK_LINES)]:
            yield _block(lines, layout, bad, number)
            number += len(lines)


def _block(lines: list[str], layout: _Layout, bad: list[int], number: int) -> npt.NDArray[np.float64]:
    text = [line.replace(",", ".") for line in lines] if layout.comma else lines
    filled = [line for line in text if line]
    separator = None if layout.separator == " " else layout.separator
    if filled:
        try:
            rows: npt.NDArray[np.float64] = np.loadtxt(filled, delimiter=separator, ndmin=2, comments=None)
        except ValueError:
            rows = np.zeros((0, 0))
        if rows.shape[1] == layout.columns:
            return rows
    found = []
    for i, line in enumerate(text):
        cells = _cells(line, layout.separator)
        if len(cells) == layout.columns and all(_is_number(cell) for cell in cells):
            found.append([float(cell) for cell in cells])
        elif line:
            bad.append(number + i + 1)
            found.append([np.nan] * layout.columns)
    return np.array(found).reshape(-1, layout.columns)


def _bad_lines(path: Path, bad: list[int]) -> tuple[Problem, ...]:
    if not bad:
        return ()
    place = f"{path.name}, line {bad[0]}"
    more = f" (and {len(bad) - 1} more)" if len(bad) > 1 else ""
    return (Problem(place, f"not a sample{more}", "numbers only", "They are left out; mend the lines."),)


class _Stored:
    """Reads the converted samples back; the temporary file is closed with the last use of the recording."""

    def __init__(self, store: IO[bytes], channels: int) -> None:
        self._store, self._channels = store, channels
        weakref.finalize(self, store.close)

    def __call__(self, start: int, stop: int) -> npt.NDArray[np.number]:
        self._store.seek(start * self._channels * 4)
        data = self._store.read((stop - start) * self._channels * 4)
        return np.frombuffer(data, "<f4").reshape(-1, self._channels).astype(np.float32, copy=False)
