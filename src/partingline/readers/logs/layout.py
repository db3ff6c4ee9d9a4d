"""Where the table is in the text of a log: delimiter, decimal sign, preamble, header, units row, first data row."""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from partingline.model import Cell
from partingline.readers.logs.types import Notes
from partingline.readers.quantities.units import find_unit

_DELIMITERS = (";", "\t", ",", "|")
_HEAD = 150
_COMMA_NUMBER = re.compile(r"^[+-]?\d*,\d+(?:[eE][+-]?\d+)?$")
_NUMBER_START = re.compile(r"^[+-]?[.,]?\d")
_NO_VALUE = re.compile(r"^[+-]?(?:nan|inf|ol|-+|\.ol\.?|o\.l\.?|n/?a)?$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Layout:
    """The table in the file. Rows are counted from 1; `header_row` 0: there is no header."""

    delimiter: str
    decimal: str
    header_row: int
    units_row: int
    first_row: int
    names: tuple[str, ...]
    units: tuple[str, ...]


def split_rows(text: str, delimiter: str, names: Sequence[str], notes: Notes, start: int) -> list[list[str]]:
    """The rows of the text, an empty list for a blank line; a quote that is never closed is reported and read as
    text. `start` is the row in the file of the text's first line."""
    lines = split_lines(text)
    if '"' in text:
        row = _open_quote(lines, delimiter)
        if not row:
            return list(csv.reader(lines, delimiter=delimiter))
        before = lines[row - 1].partition('"')[0].count(delimiter)
        place = Cell(start + row - 1, names[before] if before < len(names) else f"column {before + 1}")
        expected = "a closing quote in the same row"
        notes.add(place, "a quote that is never closed", expected, "Close or remove the quote.", loses=False)
    return list(csv.reader(lines, delimiter=delimiter, quoting=csv.QUOTE_NONE))


def split_lines(text: str) -> list[str]:
    """The lines of the text, whatever ends them, without the blank one after the last."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").replace("\0", "").split("\n")
    if not lines[-1].strip():
        lines.pop()
    return lines


def _open_quote(lines: list[str], delimiter: str) -> int:
    """The row of the first quoted field that runs over the end of its line; 0 where none does."""
    reader = csv.reader(lines, delimiter=delimiter)
    row = 0
    try:
        for row, _ in enumerate(reader, 1):
            if reader.line_num != row:
                return row
    except csv.Error:
        return row + 1
    return 0


def find_layout(text: str, notes: Notes) -> Layout | None:
    """The layout of a log, or None with a problem where no table of numbers was found."""
    head = text[:200_000].replace("\r\n", "\n").replace("\r", "\n").split("\n")[:_HEAD]
    if head and head[0].lower().startswith("sep=") and len(head[0]) == 5:
        candidates: tuple[str, ...] = (head[0][4],)
    else:
        candidates = _DELIMITERS
    tried = [(d, *_table(_head_rows(head, d), d)) for d in candidates]
    delimiter, score, start = max(tried, key=lambda found: found[1])
    if not score:
        _no_table(head, notes)
        return None
    rows = _head_rows(head, delimiter)
    return _describe(rows, start, delimiter, _decimal(rows[start:], delimiter), notes)


def _no_table(head: list[str], notes: Notes) -> None:
    """The first place at which a table was looked for: below what may be a header, or beside the one column."""
    at = next((n for n, line in enumerate(head) if line.strip()), 0)
    cells = max((head[at].split(delimiter) for delimiter in _DELIMITERS), key=len)
    place = Cell(at + 2, cells[0].strip()[:40] or "column 1") if len(cells) > 1 else Cell(at + 1, "column 2")
    found = f"no table of numbers (it begins {head[at].strip()[:60]!r})"
    expected = "a header and rows of at least two columns, divided by comma, semicolon or tab"
    notes.add(place, found, expected, "Export the log again as CSV.")


def _head_rows(lines: list[str], delimiter: str) -> list[list[str]]:
    rows = []
    for line in lines:
        try:
            rows.append(next(csv.reader([line], delimiter=delimiter), []))
        except csv.Error:
            rows.append([])
    return rows


def _table(rows: list[list[str]], delimiter: str) -> tuple[float, int]:
    """How well a delimiter fits (rows of the widest run of equal width × columns), and where its data begin."""
    best, best_start, run, start = 0.0, 0, 0, 0
    for n, row in enumerate(rows):
        width = len(row)
        if width >= 2 and _is_data(row):
            if run and width != len(rows[start]):
                run = 0
            start = start if run else n
            run += 1
            # A decimal comma looks like a divider: fewer, wider cells win where both give an even table.
            score = run * (1.0 + 0.01 * min(width, 30)) * (0.4 if delimiter == "," and _cut_numbers(row) else 1.0)
            if score > best:
                best, best_start = score, start
        elif any(cell.strip() for cell in row):
            run = 0
    return best, _first_of(rows, best_start)


def _first_of(rows: list[list[str]], start: int) -> int:
    """The first row of the table whose longest run begins at `start`: back over torn rows, up to a header."""
    width, first = len(rows[start]) if rows else 0, start
    for n in range(start - 1, -1, -1):
        row = rows[n]
        if len(row) == width and _is_data(row):
            first = n
        elif len(row) == width and sum(1 for cell in row if cell.strip()) > 1:
            break
    return first


def _is_data(row: list[str]) -> bool:
    """A row of measurements: at least a third of its filled cells, and two of them or the only one, begin as
    numbers."""
    filled = [cell.strip() for cell in row if cell.strip()]
    numbers = sum(1 for cell in filled if _NUMBER_START.match(cell))
    marks = sum(1 for cell in filled if _NO_VALUE.match(cell))
    return numbers >= 1 and numbers + marks >= max(1, len(filled) / 3) and (numbers + marks > 1 or len(filled) == 1)


def _cut_numbers(row: list[str]) -> bool:
    """Whether a semicolon or tab stands inside the cells: then the comma is a decimal sign."""
    return any(";" in cell or "\t" in cell for cell in row)


def _decimal(rows: list[list[str]], delimiter: str) -> str:
    if delimiter == ",":
        quoted = sum(1 for row in rows for cell in row if _COMMA_NUMBER.match(cell.strip()))
        points = sum(1 for row in rows for cell in row if re.match(r"^[+-]?\d*\.\d+$", cell.strip()))
        return "," if quoted > points else "."
    commas = sum(1 for row in rows for cell in row if _COMMA_NUMBER.match(cell.strip()))
    points = sum(1 for row in rows for cell in row if re.match(r"^[+-]?\d*\.\d+(?:[eE][+-]?\d+)?$", cell.strip()))
    return "," if commas > points else "."


def _describe(rows: list[list[str]], start: int, delimiter: str, decimal: str, notes: Notes) -> Layout:
    """Header and units row directly above the data; blank rows between are passed over."""
    width = len(rows[start])
    above = [n for n in range(start - 1, -1, -1) if any(cell.strip() for cell in rows[n])]
    units_at = header_at = -1
    if above and _is_units(rows[above[0]]) and len(above) > 1 and len(rows[above[1]]) > 1:
        units_at, header_at = above[0], above[1]
    elif above and len(rows[above[0]]) > 1:
        header_at = above[0]
    if header_at < 0:
        expected, step = (
            "a header row that names the columns",
            "Add one, or pin the columns as 'column 1', 'column 2' in logs/logs.toml.",
        )
        notes.add(Cell(start + 1, "column 1"), "numbers without a header", expected, step)
        return Layout(
            delimiter, decimal, 0, 0, start + 1, tuple(f"column {n}" for n in range(1, width + 1)), ("",) * width
        )
    names = _names(rows[header_at], width, header_at + 1, notes)
    units = tuple(cell.strip(" []()") for cell in rows[units_at]) if units_at >= 0 else ()
    units = (*units, *("",) * width)[:width]
    return Layout(delimiter, decimal, header_at + 1, units_at + 1, start + 1, names, units)


def _is_units(row: list[str]) -> bool:
    """A row that holds only units (bare or in brackets) and blanks, with at least one unit that is not also a name."""
    cells = [cell.strip() for cell in row]
    bare = [cell.strip("[]() ") for cell in cells]
    known = sum(1 for cell in bare if cell and is_unit(cell))
    others = sum(1 for cell in bare if cell and not is_unit(cell))
    return known >= 1 and others <= max(1, known // 2) and all(len(cell) <= 12 for cell in bare)


def is_unit(text: str) -> bool:
    """Whether a text is a unit as headers write it, with the kind of current or a date pattern."""
    plain = re.sub(r"\s*(?:AC|DC|ac|dc|rms|RMS)$|^(?:AC|DC)\s*", "", text).strip()
    return bool(plain) and (find_unit(plain) is not None or plain.lower() in {"hh:mm:ss", "yyyy-mm-dd", "-", "1"})


def _names(header: list[str], width: int, row: int, notes: Notes) -> tuple[str, ...]:
    """Unique header texts, as many as the data have columns."""
    names: list[str] = []
    if extra := [cell.strip() for cell in header[width:] if cell.strip()]:
        found = f"{', '.join(map(repr, extra))}: a header without a column below it"
        notes.add(Cell(row, extra[0]), found, f"{width} names for {width} columns", "Is a column missing?", loses=False)
    for n in range(width):
        name = header[n].strip().lstrip("#").strip() if n < len(header) else ""
        name = name or f"column {n + 1}"
        if name in names:
            expected, step = (
                "a name of its own for each column",
                f"Rename the second; until then it is called '{name} #{n + 1}'.",
            )
            notes.add(Cell(row, name), f"two columns are called {name!r}", expected, step, loses=False)
            name = f"{name} #{n + 1}"
        names.append(name)
    return tuple(names)
