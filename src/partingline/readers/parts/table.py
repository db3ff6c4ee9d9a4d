"""A table as a spreadsheet writes it: delimiter, byte-order mark, quoting, stray blanks, the separator line."""

import csv
import io
from collections.abc import Iterator

_DELIMITERS = ";,\t|"


def sniff_delimiter(text: str) -> str:
    """The delimiter that the header row uses: named in a leading `sep=` line, or the commonest outside quotes."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    if first.casefold().startswith("sep=") and len(first.strip()) == 5:
        return first.strip()[4]
    bare = "".join(first.split('"')[::2])
    return max(_DELIMITERS, key=bare.count) if any(d in bare for d in _DELIMITERS) else ","


def rows(text: str, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """Row number as a spreadsheet counts (from 1, the header included) and its cells, blanks stripped; empty rows skipped."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, skipinitialspace=True)
    number = 0
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error:
            number += 1
            yield number, []
            continue
        number += 1
        if number == 1 and len(cells) == 1 and cells[0].casefold().startswith("sep="):
            number = 0
            continue
        stripped = [_clean(cell) for cell in cells]
        if any(stripped):
            yield number, stripped


def _clean(cell: str) -> str:
    """Without blanks, no-break blanks, and the ="..." or leading apostrophe by which spreadsheets keep text text."""
    cell = cell.replace("\u00a0", " ").strip()
    if cell.startswith('="') and cell.endswith('"'):
        cell = cell[2:-1]
    return cell.removeprefix("'")
