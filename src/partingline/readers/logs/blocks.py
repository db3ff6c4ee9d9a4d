"""Large logs in blocks of a few mebibytes: clean blocks by polars on all cores, a block with a fault row by row.

What comes in: a file, its layout and columns. What goes out: a `Table` of numbers. Memory: the numbers and one block.
Why polars and why only here: docs/decisions/large-logs-by-polars.md.
"""

import hashlib
from collections.abc import Hashable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from partingline.model import Cell
from partingline.readers.logs.cells import OVER_RANGE, read_cells
from partingline.readers.logs.layout import Layout
from partingline.readers.logs.stamps import (
    Stamps,
    from_first,
    iso_seconds,
    looks_like_iso,
    plain_seconds,
    tell_unreadable,
)
from partingline.readers.logs.tables import Table, careful_table
from partingline.readers.logs.types import Column, Floats, Ints, Notes

BLOCK = 32 << 20
_TAIL = 1 << 16
LARGE = 64 << 20
"""Bytes from which a log is read in blocks: below, the whole text at once is as quick and needs no further library."""


def available() -> bool:
    """Whether polars is installed (the extra `large`)."""
    from importlib.util import find_spec

    return find_spec("polars") is not None


def head_of(path: Path) -> bytes:
    """The first bytes, up to the end of a line: enough to know encoding and layout."""
    with path.open("rb") as file:
        head = file.read(1 << 18)
    return head[: head.rfind(b"\n") + 1] or head


def read_blocks(
    path: Path, layout: Layout, columns: Sequence[Column], encoding: str, notes: Notes
) -> tuple[Table, Stamps | None, str] | None:
    """Table, stamps (None: elapsed numbers, still to be read as such) and sha256; None with a problem where the time
    column is neither numbers nor ISO dates.

    Numbers are in the units of the file. A block that is not clean is read as small logs are, with all faults told.
    """
    wanted = [c for c in columns if c.quantity or c.unit] or list(columns[:1])
    time = next((c for c in columns if c.quantity == "time"), None)
    sample = _head_cells(path, layout, encoding)
    first = sample[time.index][0] if time is not None else ""
    iso = time is not None and looks_like_iso(first)
    if time is not None and not iso and not _is_number(first, layout.decimal):
        found = f"{path.stat().st_size >> 20} MiB with times such as {first!r}"
        step = "Export elapsed seconds, or split the log."
        notes.add(Cell(layout.first_row, time.name), found, "elapsed seconds or ISO dates in a log of this size", step)
        return None
    store = _Store(wanted, path.stat().st_size)
    digest = hashlib.sha256()
    row = 1
    with ThreadPoolExecutor(1) as beside:
        source = _blocks(path)
        ahead = beside.submit(next, source, b"")
        while block := ahead.result():
            hashed = beside.submit(digest.update, block)
            ahead = beside.submit(next, source, b"")
            body = block
            while row < layout.first_row and body:
                body, row = body[body.find(b"\n") + 1 :], row + 1
            read = _clean(body, layout, wanted, time if iso else None)
            if read is None:
                read = _with_faults(body, row, layout, wanted, time if iso else None, encoding, notes)
                lines = body.count(b"\n") + (not body.endswith(b"\n"))
            else:
                lines = len(read.numbers[0])
            store.add(read, row)
            row += lines
            hashed.result()
    numbers, rows = store.finish()
    table = Table(_Rows(rows), _Repeats(numbers), numbers, lambda n, k: sample[n], told=True)
    if time is None or not iso:
        return table, None, digest.hexdigest()
    stamps = from_first(numbers[time.index], "date and time")
    tell_unreadable(stamps, (), table.rows, time, notes)
    return table, stamps, digest.hexdigest()


@dataclass
class _Read:
    numbers: list[Floats]
    rows: Ints | None


def _blocks(path: Path) -> Iterator[bytes]:
    """The file in pieces of whole lines, each read once at its exact length."""
    size, at = path.stat().st_size, 0
    with path.open("rb", buffering=0) as file:
        while at < size:
            length = min(BLOCK, size - at)
            if at + length < size:
                file.seek(at + length - _TAIL)
                length -= _TAIL - (file.read(_TAIL).rfind(b"\n") + 1)
            file.seek(at)
            yield file.read(length)
            at += length


class _Store:
    """Arrays that grow as blocks come."""

    def __init__(self, wanted: Sequence[Column], size: int) -> None:
        self._wanted, self._size = wanted, size
        self._arrays: list[Floats] = []
        self._rows: list[Ints | range] = []
        self._filled = 0

    def add(self, read: _Read, row: int) -> None:
        """Append the numbers of one block that begins at a row."""
        n = len(read.numbers[0]) if read.numbers else 0
        if not self._arrays or self._filled + n > len(self._arrays[0]):
            self._grow(n)
        for array, new in zip(self._arrays, read.numbers, strict=True):
            array[self._filled : self._filled + n] = new
        self._rows.append(range(row, row + n) if read.rows is None else read.rows)
        self._filled += n

    def _grow(self, n: int) -> None:
        room = max(self._filled + n, int(1.02 * n * self._size / BLOCK) if not self._filled else 2 * self._filled)
        grown = [np.empty(room) for _ in self._wanted]
        for old, new in zip(self._arrays, grown, strict=False):
            new[: self._filled] = old[: self._filled]
        self._arrays = grown

    def finish(self) -> tuple[dict[int, Floats], Ints]:
        """Arrays by column, and row numbers."""
        rows = self._numbered()
        arrays = self._arrays or [np.empty(0) for _ in self._wanted]
        return {c.index: array[: self._filled] for c, array in zip(self._wanted, arrays, strict=True)}, rows

    def _numbered(self) -> Ints:
        spans = [rows for rows in self._rows if len(rows)]
        if spans and all(isinstance(rows, range) for rows in spans) and spans[-1][-1] - spans[0][0] + 1 == self._filled:
            return np.arange(spans[0][0], spans[-1][-1] + 1, dtype=np.int64)
        return np.concatenate([np.asarray(rows, np.int64) for rows in spans]) if spans else np.empty(0, np.int64)


def _clean(body: bytes, layout: Layout, wanted: Sequence[Column], iso: Column | None) -> _Read | None:
    """The numbers of a block in which every row is whole and every wanted cell a plain number; else None.

    polars makes a row of nulls of a blank line, so that the rows of a clean block are its lines.
    """
    import polars as pl

    if not body or b'"' in body:
        return None if body else _Read([np.empty(0) for _ in wanted], None)
    names = [f"c{n}" for n in range(len(layout.names))]
    numbers = {c.index for c in wanted} - ({iso.index} if iso else set())
    schema = {name: pl.Float64 if n in numbers else pl.String for n, name in enumerate(names)}
    options: dict[str, Any] = {"decimal_comma": True} if layout.decimal == "," else {}
    try:
        frame = pl.read_csv(
            body, has_header=False, schema=schema, separator=layout.delimiter, quote_char=None,
            columns=[c.index for c in wanted], truncate_ragged_lines=False, **options,
        )  # fmt: skip
        if iso is not None:
            stamp = pl.col(f"c{iso.index}").str.to_datetime(time_unit="us", strict=True)
            frame = frame.with_columns(stamp.cast(pl.Int64).cast(pl.Float64) * 1e-6)
    except (pl.exceptions.PolarsError, UnicodeDecodeError):
        return None
    found = [frame[f"c{c.index}"] for c in wanted]
    if any(one.null_count() for one in found):
        return None
    values = [one.to_numpy() for one in found]
    odd = any(len(one) and not (one.max() < OVER_RANGE and one.min() > -OVER_RANGE) for one in values)
    return None if odd else _Read(values, None)


def _with_faults(
    body: bytes, row: int, layout: Layout, wanted: Sequence[Column], iso: Column | None, encoding: str, notes: Notes
) -> _Read:
    """The same block row by row, faults told with their rows in the file."""
    local = Notes(notes.path, notes.sha256)
    text = body.decode(encoding, errors="replace")
    table = careful_table(text, replace(layout, header_row=0, units_row=0, first_row=1), local, start=row)
    values = []
    for column in wanted:
        cells = table.column(column.index)
        if column.quantity == "time":
            stripped = [cell.strip() for cell in cells]
            values.append(iso_seconds(stripped) if column is iso else plain_seconds(stripped, layout.decimal))
        else:
            told = local if column.quantity else Notes(notes.path, notes.sha256)
            as_written = replace(column, factor=1.0, offset=0.0)
            values.append(read_cells(cells, table.rows, as_written, layout.decimal, told)[0])
    notes.problems += local.problems
    return _Read(values, np.array(table.rows, np.int64))


def _head_cells(path: Path, layout: Layout, encoding: str) -> list[list[str]]:
    """Some texts of each column, from the first rows."""
    lines = head_of(path).decode(encoding, errors="replace").replace("\r", "").split("\n")
    rows = [line.split(layout.delimiter) for line in lines[layout.first_row - 1 : layout.first_row + 199]]
    width = len(layout.names)
    whole = [row for row in rows if len(row) == width] or [[""] * width]
    return [[cell.strip() for cell in column] for column in zip(*whole, strict=True)]


class _Rows(Sequence[int]):
    """Row numbers kept as an array."""

    def __init__(self, rows: Ints) -> None:
        self._rows = rows

    def __len__(self) -> int:
        return len(self._rows)

    def __getitem__(self, index: Any) -> Any:
        return int(self._rows[index])

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> Ints:
        return np.asarray(self._rows, dtype=dtype)


class _Repeats(Sequence[Hashable]):
    """What a repeated row repeats: all its numbers."""

    def __init__(self, numbers: Mapping[int, Floats]) -> None:
        self._columns = list(numbers.values())

    def __len__(self) -> int:
        return len(self._columns[0]) if self._columns else 0

    def __getitem__(self, index: Any) -> Any:
        return tuple(float(column[index]) for column in self._columns)


def _is_number(text: str, decimal: str) -> bool:
    try:
        float(text.replace(",", ".") if decimal == "," else text)
    except ValueError:
        return False
    return True
