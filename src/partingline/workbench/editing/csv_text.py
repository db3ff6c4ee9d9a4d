"""A table's text in its rows, so that one row can be written anew and the others stay byte for byte."""

import csv
import io
from dataclasses import dataclass

from partingline.readers.parts.table import rows, sniff_delimiter

_MOST_LINES = 50


@dataclass(frozen=True, slots=True)
class Row:
    """The text of one row with its line end, and its cells as the reader takes them (empty for a blank row)."""

    text: str
    cells: tuple[str, ...]


def split_rows(text: str, delimiter: str) -> list[Row]:
    """The rows of a text, in order; together their texts are the text."""
    lines = text.splitlines(keepends=True)
    found: list[Row] = []
    at = 0
    while at < len(lines):
        taken = _length(lines[at : at + _MOST_LINES])
        piece = "".join(lines[at : at + taken])
        separator = at == 0 and piece.casefold().startswith("sep=")
        read = () if separator else next((tuple(cells) for _, cells in rows(piece, delimiter, _ignore)), ())
        found.append(Row(piece, read))
        at += taken
    return found


def written_row(cells: list[str], delimiter: str, line_end: str) -> str:
    """A row as text."""
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator="").writerow(cells)
    return out.getvalue() + line_end


def delimiter_of(text: str) -> str:
    """The delimiter of a text; a comma for an empty one."""
    return sniff_delimiter(text) if text.strip() else ","


def line_end_of(text: str) -> str:
    """The line end that the text uses."""
    return "\r\n" if "\r\n" in text else "\n"


def _length(lines: list[str]) -> int:
    """How many lines the first row takes: until its quotes are paired; one where they never are."""
    quotes = 0
    for number, line in enumerate(lines, 1):
        quotes += line.count('"')
        if quotes % 2 == 0:
            return number
    return 1


def _ignore(row: int, found: str) -> None:
    """The reader of the folder says what is wrong with the quoting; here the row is only kept."""
