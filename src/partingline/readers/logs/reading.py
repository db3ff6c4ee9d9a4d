"""One log: bytes, layout, columns, cells, time. Whatever is wrong with the content is told, never raised."""

import hashlib
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from partingline.model import Line, Rows
from partingline.readers.logs.cells import read_cells
from partingline.readers.logs.columns import recognise
from partingline.readers.logs.layout import Layout, find_layout, split_rows
from partingline.readers.logs.order import in_order
from partingline.readers.logs.stamps import Stamps, looks_like_time, read_stamps
from partingline.readers.logs.text import decode, read_bytes
from partingline.readers.logs.types import Column, Floats, Log, LogEntry, Notes, row_list
from partingline.readers.logs.undirected import settle
from partingline.sources.glossary import quantity

_CAPTION = 12


def read_log(path: Path, entry: LogEntry | None = None, *, name: str = "") -> Log:
    """A bench log in SI units. `name` is the path that evidence carries; without one, `logs/` and the file's name.

    Never raises for bad content: `Log.problems` says row, column, what was expected and the next step.
    """
    entry = entry or LogEntry(file=path.name)
    name = name or f"logs/{entry.file}"
    notes = Notes(name, "")
    data = read_bytes(path, notes)
    if data is None:
        return Log(name, "", entry, problems=tuple(notes.problems))
    notes.sha256 = hashlib.sha256(data).hexdigest()
    decoded = decode(data, notes)
    layout = find_layout(decoded[0], notes) if decoded else None
    if decoded is None or layout is None:
        return Log(name, notes.sha256, entry, problems=tuple(notes.problems), encoding=decoded[1] if decoded else "")
    return _read(decoded[0], decoded[1], layout, entry, notes)


def _read(text: str, encoding: str, layout: Layout, entry: LogEntry, notes: Notes) -> Log:
    cells, rows = _data_rows(text, layout, notes)
    columns = list(recognise(layout, entry, notes))
    stamps = _time(columns, cells, rows, layout, notes)
    by_index = _values(columns, cells, rows, layout, notes)
    columns = settle(columns, by_index, entry, layout, notes)
    series = {(c.quantity, c.channel): by_index[c.index] for c in columns if c.quantity not in ("", "time")}
    order = in_order(stamps, np.array(rows, np.int64), list(zip(*cells, strict=True)) if len(cells) else [], notes)
    if not series:
        seen = ", ".join(repr(column.name) for column in columns[:_CAPTION])
        step = 'Pin them in logs/logs.toml: columns = { input_power = "Pin (W)" }.'
        notes.add(
            Line(max(layout.header_row, 1)),
            f"none of the columns was recognised ({seen})",
            "power, voltages, currents or temperatures",
            step,
        )
    return Log(
        path=notes.path,
        sha256=notes.sha256,
        entry=entry,
        columns=tuple(columns),
        rows=order.rows,
        time_s=order.time_s,
        start=stamps.origin,
        series={key: values[order.index] for key, values in series.items()},
        problems=tuple(notes.problems),
        encoding=encoding,
        delimiter=layout.delimiter,
        decimal=layout.decimal,
        header_row=layout.header_row,
    )


def _data_rows(text: str, layout: Layout, notes: Notes) -> tuple[list[tuple[str, ...]], list[int]]:
    """Cells by column, and the row number of each: blank rows, comments, repeated headers and torn rows are left
    out."""
    width = len(layout.names)
    kept: list[list[str]] = []
    rows: list[int] = []
    torn: list[int] = []
    remarks: list[int] = []
    for number, row in enumerate(split_rows(text, layout.delimiter, notes), 1):
        if number < layout.first_row or not any(cell.strip() for cell in row):
            continue
        if len(row) == width:
            kept.append(row)
            rows.append(number)
        elif row[0].lstrip()[:1] in ("#", "%", "!") or len(row) == 1 or sum(map(bool, row)) == 1:
            remarks.append(number)
        elif len(row) < width or any(cell.strip() for cell in row[width:]):
            torn.append(number)
        else:
            kept.append(row[:width])
            rows.append(number)
    kept, rows = _without_headers(kept, rows, layout, notes, remarks)
    if remarks:
        expected = "rows of numbers"
        notes.add(
            Line(remarks[0]), f"text between the numbers (rows {row_list(remarks)})", expected, "Left out.", loses=False
        )
    if torn:
        found = f"rows without {width} cells (rows {row_list(torn)})"
        notes.add(
            Line(torn[0]), found, f"{width} cells in each row, as in the header", "Left out; correct or remove them."
        )
    return list(zip(*kept, strict=True)) or [()] * width, rows


def _without_headers(
    kept: list[list[str]], rows: list[int], layout: Layout, notes: Notes, remarks: list[int]
) -> tuple[list[list[str]], list[int]]:
    """A header again in the middle tells that the recording was restarted; a comment of full width is a remark."""
    header = [name.split(" #")[0] for name in layout.names]
    again: list[int] = []
    drop: set[int] = set()
    for n, row in enumerate(kept):
        first = row[0].lstrip()[:1]
        if first in "0123456789-+.," and first:
            continue
        if sum(cell.strip() == name for cell, name in zip(row, header, strict=True)) > len(header) / 2:
            again.append(rows[n])
            drop.add(n)
        elif first == "#":
            remarks.append(rows[n])
            drop.add(n)
    if again:
        found, expected = f"the header again (rows {row_list(again)})", "one header; the recording was restarted"
        notes.add(Line(again[0]), found, expected, "The rows after it are kept.", loses=False)
    if not drop:
        return kept, rows
    return [r for n, r in enumerate(kept) if n not in drop], [r for n, r in enumerate(rows) if n not in drop]


def _time(columns: list[Column], cells: list[tuple[str, ...]], rows: list[int], layout: Layout, notes: Notes) -> Stamps:
    """The time of each row from the column(s) that tell it; a date and a time of day in two columns are put
    together."""
    found = [c for c in columns if c.quantity == "time"]
    if not found:
        found = [c for c in columns if c.quantity == "" and looks_like_time(cells[c.index])][:1]
        for column in found:
            columns[column.index] = replace(column, quantity="time", how="content")
    if not found:
        expected, step = "a column of time", 'Name it "Time (s)" or pin it; until then one second a row is assumed.'
        notes.add(Line(max(layout.header_row, 1)), "no column of time", expected, step)
        return Stamps(np.arange(len(rows), dtype=np.float64), None, "rows")
    first = next((c for c in found if c.how == "pinned"), found[0])
    told: Sequence[str] = cells[first.index]
    if len(found) > 1 and first.how != "pinned":
        second = found[1]
        date, clock = (first, second) if ":" not in "".join(cells[first.index][:1]) else (second, first)
        one_day = ":" not in "".join(cells[date.index][:1]) and ":" in "".join(cells[clock.index][:1])
        if one_day and looks_like_time(cells[date.index]):
            told = [f"{d.strip()} {t.strip()}" for d, t in zip(cells[date.index], cells[clock.index], strict=True)]
    return read_stamps(told, rows, first, notes, decimal=layout.decimal)


def _values(
    columns: list[Column], cells: list[tuple[str, ...]], rows: list[int], layout: Layout, notes: Notes
) -> dict[int, Floats]:
    """SI values of every column that holds a quantity, or may hold one by its unit."""
    values: dict[int, Floats] = {}
    for n, column in enumerate(columns):
        if column.quantity == "time" or not (column.quantity or column.unit):
            continue
        told = notes if column.quantity else Notes(notes.path, notes.sha256)
        values[n], step = read_cells(cells[n], rows, column, layout.decimal, told)
        columns[n] = replace(column, step=step)
        if column.quantity and _turned(values[n], column.quantity):
            expected, step_ = "values above zero", "The sign is turned: the meter counts what flows out as negative."
            told.add(Rows(rows[0], rows[-1], column.name), "negative values throughout", expected, step_, loses=False)
            values[n] = -values[n]
        if column.quantity and len(rows) and np.isnan(values[n]).all():
            expected, step_ = "numbers", "Is it the right column, and was the instrument connected?"
            notes.add(Line(rows[0]), f"column {column.name!r} has no value at all", expected, step_, loses=False)
            columns[n] = replace(column, quantity="", how="")
    return values


def _turned(values: Floats, id_: str) -> bool:
    """Whether a quantity that is never negative was recorded with the other sign."""
    plausible = quantity(id_).plausible
    good = values[np.isfinite(values)]
    if plausible is None or plausible[0] < 0 or not len(good):
        return False
    return bool(
        np.median(good) < 0 and -np.min(good) > 20 * max(np.max(good), 0.0) and -np.min(good) > 0.01 * plausible[1]
    )
