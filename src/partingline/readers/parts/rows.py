"""Rows of the part list: columns found by name, every cell kept as written."""

import re
from dataclasses import dataclass
from difflib import get_close_matches

from partingline.model import Cell, Evidence
from partingline.readers.folder import Folder, TextFile
from partingline.readers.parts.table import rows, sniff_delimiter

NAME = "parts.csv"
COLUMNS = (
    "ref", "stage", "board", "side", "kind", "role", "marking", "maker", "part_number", "value", "ratings",
    "quantity", "package", "note",
)  # fmt: skip
_SAME = {
    "reference": "ref",
    "designator": "ref",
    "qty": "quantity",
    "count": "quantity",
    "mpn": "part_number",
    "notes": "note",
}
_MOST_ROWS = 20_000


@dataclass(frozen=True, eq=False)
class PartRow:
    """One row as written: cells by column, refs taken apart, and where it stands."""

    refs: tuple[str, ...]
    cells: dict[str, str]
    count: int
    row: int
    file: TextFile
    decimal_comma: bool

    def __getitem__(self, column: str) -> str:
        return self.cells.get(column, "")

    def at(self, column: str) -> Evidence:
        """A pointer to a cell of the row."""
        return self.file.at(Cell(self.row, column))


def read_parts(folder: Folder) -> tuple[PartRow, ...]:
    """All rows of `parts.csv` that name a part. Faulty rows are reported and left out."""
    file = folder.text(NAME, f"a table with the columns {', '.join(COLUMNS)}")
    if file is None:
        return ()
    delimiter = sniff_delimiter(file.text)
    table = rows(file.text, delimiter)
    header = next(table, None)
    columns = _columns(folder, header[1]) if header else {}
    if "ref" not in columns.values():
        folder.report(
            NAME,
            "no column 'ref' in the header row",
            f"a header row with {', '.join(COLUMNS)}",
            "Add it.",
            Cell(1, "ref"),
        )
        return ()
    read: dict[str, PartRow] = {}
    for number, cells in table:
        row = _row(folder, file, columns, number, cells, delimiter == ";")
        if len(read) >= _MOST_ROWS:
            folder.report(
                NAME,
                f"more than {_MOST_ROWS} parts",
                "the parts of one unit",
                "Is it the right file?",
                Cell(number, "ref"),
            )
            break
        if row is not None:
            _keep(folder, read, row)
    return tuple(dict.fromkeys(read.values()))


def _columns(folder: Folder, header: list[str]) -> dict[int, str]:
    found: dict[int, str] = {}
    for index, cell in enumerate(header):
        name = re.sub(r"[\s\-]+", "_", cell.casefold())
        name = _SAME.get(name, name)
        if name in COLUMNS and name not in found.values():
            found[index] = name
        elif name:
            near = get_close_matches(name, COLUMNS, n=1)
            hint = f"Did you mean '{near[0]}'?" if near else "Its cells are kept in the file but not read."
            folder.report(
                NAME,
                f"unknown column '{cell}'",
                f"one of {', '.join(COLUMNS)}",
                hint,
                Cell(1, cell),
                loses=False,
            )
    return found


def _row(
    folder: Folder,
    file: TextFile,
    columns: dict[int, str],
    number: int,
    cells: list[str],
    decimal_comma: bool,
) -> PartRow | None:
    told = {name: cells[index] for index, name in columns.items() if index < len(cells)}
    if extra := [cell for cell in cells[max(columns) + 1 :] if cell]:
        folder.report(
            NAME,
            f"{len(extra)} cells more than the header has columns ({extra[0][:40]!r})",
            "one cell a column",
            "Put quotes around a cell that holds the delimiter.",
            Cell(number, "ref"),
        )
    refs = tuple(filter(None, re.split(r"[\s,;+/]+", told.get("ref", ""))))
    if not refs:
        folder.report(
            NAME,
            "a row without a ref",
            "a reference such as C3 in column 'ref'",
            "Name the part.",
            Cell(number, "ref"),
        )
        return None
    return PartRow(refs, told, _count(folder, told.get("quantity", ""), number, len(refs)), number, file, decimal_comma)


def _count(folder: Folder, text: str, number: int, refs: int) -> int:
    if not text:
        return refs
    try:
        count = int(text)
    except ValueError:
        count = 0
    if count >= 1:
        return count
    folder.report(
        NAME,
        repr(text),
        "a whole number of equal parts, 1 or more",
        "Correct it; 1 is taken.",
        Cell(number, "quantity"),
    )
    return refs


def _keep(folder: Folder, read: dict[str, PartRow], row: PartRow) -> None:
    for ref in row.refs:
        if ref in read:
            folder.report(
                NAME,
                f"{ref} stands in row {read[ref].row} too",
                "each ref once",
                "Rename one of them; the first is used.",
                Cell(row.row, "ref"),
            )
        else:
            read[ref] = row
