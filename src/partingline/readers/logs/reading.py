"""One log: bytes, layout, columns, cells, time. Whatever is wrong with the content is told, never raised."""

import hashlib
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from partingline.model import Cell, Rows
from partingline.readers.logs import blocks
from partingline.readers.logs.cells import read_cells, to_si
from partingline.readers.logs.columns import recognise
from partingline.readers.logs.layout import Layout, find_layout
from partingline.readers.logs.order import in_order
from partingline.readers.logs.recordings import ENDINGS, read_recording
from partingline.readers.logs.stamps import Stamps, looks_like_time, number_stamps, read_stamps
from partingline.readers.logs.tables import Table, read_table
from partingline.readers.logs.text import decode, read_bytes, size_of
from partingline.readers.logs.types import Column, Floats, Log, LogEntry, Notes
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
    size = size_of(path, notes)
    if size is None:
        return Log(name, "", entry, problems=tuple(notes.problems))
    if path.suffix in ENDINGS:
        return read_recording(path, entry, name)
    if size > blocks.LARGE and blocks.available():
        return _large(path, entry, notes)
    data = read_bytes(path, notes)
    if data is None:
        return Log(name, "", entry, problems=tuple(notes.problems))
    notes.sha256 = hashlib.sha256(data).hexdigest()
    decoded = decode(data, notes, entry.sheet)
    layout = find_layout(decoded[0], notes) if decoded else None
    if decoded is None or layout is None:
        return Log(name, notes.sha256, entry, problems=tuple(notes.problems), encoding=decoded[1] if decoded else "")
    columns = list(recognise(layout, entry, notes))
    table = read_table(decoded[0], layout, columns, notes)
    return _assembled(columns, table, _time(columns, table, layout, notes), layout, decoded[1], entry, notes)


def _large(path: Path, entry: LogEntry, notes: Notes) -> Log:
    """A log that is read in blocks; the problems carry the hash once it is known."""
    decoded = decode(blocks.head_of(path), notes)
    layout = find_layout(decoded[0], notes) if decoded else None
    read = None
    if decoded and layout:
        columns = list(recognise(layout, entry, notes))
        read = blocks.read_blocks(path, layout, columns, decoded[1], notes)
    if decoded is None or layout is None or read is None:
        return Log(notes.path, "", entry, problems=tuple(notes.problems), encoding=decoded[1] if decoded else "")
    table, stamps, notes.sha256 = read
    stamps = stamps or _time(columns, table, layout, notes)
    log = _assembled(columns, table, stamps, layout, decoded[1], entry, notes)
    known = [replace(p, evidence=replace(p.evidence, sha256=notes.sha256)) for p in log.problems]
    return replace(log, problems=tuple(known))


def _assembled(
    columns: list[Column], table: Table, stamps: Stamps, layout: Layout, encoding: str, entry: LogEntry, notes: Notes
) -> Log:
    """Columns in SI units, in the order of time."""
    by_index = _values(columns, table, layout, notes)
    columns = settle(columns, by_index, entry, layout, notes)
    series = {(c.quantity, c.channel): by_index[c.index] for c in columns if c.quantity not in ("", "time")}
    timed = next((c.name for c in columns if c.quantity == "time"), "")
    order = in_order(stamps, np.asarray(table.rows, np.int64), table.texts, notes, timed)
    if not series:
        seen = ", ".join(repr(column.name) for column in columns[:_CAPTION])
        step = 'Pin them in logs/logs.toml: columns = { input_power = "Pin (W)" }.'
        notes.add(
            Cell(max(layout.header_row, 1), columns[0].name),
            f"none of the columns was recognised ({seen})",
            "power, voltages, currents or temperatures",
            step,
        )
    kept = order.index
    return Log(
        path=notes.path,
        sha256=notes.sha256,
        entry=entry,
        columns=tuple(columns),
        rows=order.rows,
        time_s=order.time_s,
        start=stamps.origin,
        series=series if kept is None else {key: values[kept] for key, values in series.items()},
        problems=tuple(notes.problems),
        encoding=encoding,
        delimiter=layout.delimiter,
        decimal=layout.decimal,
        header_row=layout.header_row,
    )


def _time(columns: list[Column], table: Table, layout: Layout, notes: Notes) -> Stamps:
    """The time of each row from the column(s) that tell it; a date and a time of day in two columns are one stamp."""
    found = [c for c in columns if c.quantity == "time"]
    if not found:
        found = [c for c in columns if c.quantity == "" and looks_like_time(table.sample(c.index))][:1]
        for column in found:
            columns[column.index] = replace(column, quantity="time", how="content")
    if not found:
        expected, step = "a column of time", 'Name it "Time (s)" or pin it; until then one second a row is assumed.'
        notes.add(Cell(max(layout.header_row, 1), columns[0].name), "no column of time", expected, step)
        return Stamps(np.arange(len(table.rows), dtype=np.float64), None, "rows")
    first = next((c for c in found if c.how == "pinned"), found[0])
    if first.index in table.numbers:
        return number_stamps(table.numbers[first.index], table.rows, first, notes)
    told: Sequence[str] = table.column(first.index)
    if len(found) > 1 and first.how != "pinned":
        told = _date_and_clock(told, table.column(found[1].index))
    return read_stamps(told, table.rows, first, notes, decimal=layout.decimal)


def _date_and_clock(first: Sequence[str], second: Sequence[str]) -> Sequence[str]:
    """A date and a time of day from two columns put together, in either order; else the first column."""
    date, clock = (second, first) if ":" in "".join(first[:1]) else (first, second)
    if ":" in "".join(date[:1]) or ":" not in "".join(clock[:1]) or not looks_like_time(date):
        return first
    return [f"{d.strip()} {t.strip()}" for d, t in zip(date, clock, strict=True)]


def _values(columns: list[Column], table: Table, layout: Layout, notes: Notes) -> dict[int, Floats]:
    """SI values of every column that holds a quantity, or may hold one by its unit."""
    values: dict[int, Floats] = {}
    rows = table.rows
    for n, column in enumerate(columns):
        if column.quantity == "time" or not (column.quantity or column.unit):
            continue
        told = notes if column.quantity else Notes(notes.path, notes.sha256)
        if n in table.numbers:
            some = table.sample(n)
            values[n], step = to_si(table.numbers[n], some, rows, column, layout.decimal, told, quiet=table.told)
        else:
            values[n], step = read_cells(table.column(n), rows, column, layout.decimal, told)
        columns[n] = replace(column, step=step)
        if column.quantity and _turned(values[n], column.quantity):
            expected, step_ = "values above zero", "The sign is turned: the meter counts what flows out as negative."
            told.add(Rows(rows[0], rows[-1], column.name), "negative values throughout", expected, step_, loses=False)
            values[n] = -values[n]
        if column.quantity and len(rows) and np.isnan(values[n][0]) and np.isnan(values[n]).all():
            expected, step_ = "numbers", "Is it the right column, and was the instrument connected?"
            notes.add(
                Cell(rows[0], column.name), f"column {column.name!r} has no value at all", expected, step_, loses=False
            )
            columns[n] = replace(column, quantity="", how="")
    return values


def _turned(values: Floats, id_: str) -> bool:
    """Whether a quantity that is never negative was recorded with the other sign."""
    plausible = quantity(id_).plausible
    some = values[:: max(1, len(values) // 100_000)]
    if not len(some) or not float(np.nanmin(some, initial=0.0)) < 0:
        return False
    good = values[np.isfinite(values)]
    if plausible is None or plausible[0] < 0 or not len(good):
        return False
    return bool(
        np.median(good) < 0 and -np.min(good) > 20 * max(np.max(good), 0.0) and -np.min(good) > 0.01 * plausible[1]
    )
