"""A table as a spreadsheet writes it: delimiter, byte-order mark, quoting, stray blanks, the separator line."""

import csv
from collections.abc import Callable, Iterator

_DELIMITERS = ";,\t|"
_MOST_LINES = 50
"""Lines that one row may take: a note of several lines, not the rest of the table."""
Report = Callable[[int, str], None]
"""Takes the row and what was found wrong with its quoting."""


def sniff_delimiter(text: str) -> str:
    """The delimiter that the header row uses: named in a leading `sep=` line, or the commonest outside quotes."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    if _is_separator_line(first):
        return first.strip()[4]
    bare = "".join(first.split('"')[::2])
    return max(_DELIMITERS, key=bare.count) if any(d in bare for d in _DELIMITERS) else ","


def rows(text: str, delimiter: str, report: Report) -> Iterator[tuple[int, list[str]]]:
    """Row number as a spreadsheet counts (from 1, the header included) and its cells without stray blanks.

    Empty rows are counted and skipped. A quote that is opened and never closed is reported, and taken as a sign like
    any other, so that the rows after it stay rows.
    """
    lines = text.splitlines(keepends=True)
    if lines and _is_separator_line(lines[0]):
        lines = lines[1:]
    number = at = 0
    while at < len(lines):
        number += 1
        cells, taken = _row(lines[at : at + _MOST_LINES], delimiter)
        if not taken:
            report(number, "a quote is opened and never closed")
        at += taken or 1
        stripped = [_clean(cell) for cell in cells]
        if any(stripped):
            yield number, stripped


def _row(lines: list[str], delimiter: str) -> tuple[list[str], int]:
    """The cells of the row that the lines begin with, and how many lines it takes; 0 where a quote stays open."""
    reader = csv.reader([*lines, "end"], delimiter=delimiter, skipinitialspace=True)
    try:
        cells = next(reader)
    except csv.Error:  # a cell longer than the csv module takes
        return lines[0].split(delimiter), 1
    if reader.line_num > len(lines):
        return lines[0].split(delimiter), 0
    return cells, reader.line_num


def _is_separator_line(line: str) -> bool:
    return line.casefold().startswith("sep=") and len(line.strip("\r\n ")) == 5


def _clean(cell: str) -> str:
    """Without blanks, no-break blanks, and the ="..." or leading apostrophe by which spreadsheets keep text text."""
    cell = cell.replace("\u00a0", " ").strip()
    if cell.startswith('="') and cell.endswith('"') and len(cell) > 2:
        cell = cell[2:-1].replace('""', '"')
    return cell.removeprefix("'")
