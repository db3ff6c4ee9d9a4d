"""Rows of the part list: columns found by name, every cell kept as written."""

import re
from dataclasses import dataclass, replace
from difflib import get_close_matches

from partingline.model import Cell, Evidence, Rows
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
    """One row as written: cells by column, refs taken apart, and where it stands. `count` equal parts stand behind
    each ref."""

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

    def quoting(row: int, found: str) -> None:
        step = "Close it, or double a quote that is meant as a sign."
        folder.report(NAME, found, "quotes in pairs", step, Rows(row, row), loses=False)

    table = rows(file.text, delimiter, quoting)
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
    first: dict[str, int] = {}
    kept: list[PartRow] = []
    for number, cells in table:
        row = _row(folder, file, columns, number, cells, delimiter == ";")
        if len(kept) >= _MOST_ROWS:
            folder.report(
                NAME,
                f"more than {_MOST_ROWS} parts",
                "the parts of one unit",
                "Is it the right file?",
                Cell(number, "ref"),
            )
            break
        if row is not None and (row := _unrepeated(folder, first, row)).refs:
            kept.append(row)
    return tuple(kept)


def _columns(folder: Folder, header: list[str]) -> dict[int, str]:
    found: dict[int, str] = {}
    for index, cell in enumerate(header):
        name = re.sub(r"[\s\-]+", "_", cell.casefold())
        name = _SAME.get(name, name)
        if name in COLUMNS and name not in found.values():
            found[index] = name
        elif name in COLUMNS:
            step = "Rename one of them; the first is used."
            folder.report(NAME, f"the column '{name}' stands twice", "each column once", step, Cell(1, cell))
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
    if odd := [ref for ref in refs if re.search(r"[@:=]", ref)]:
        step = "Write it as on the board."
        folder.report(NAME, f"ref '{odd[0]}'", "a ref without @ : =", step, Cell(number, "ref"))
        return None
    return PartRow(refs, told, _count(folder, told.get("quantity", ""), number, len(refs)), number, file, decimal_comma)


def _count(folder: Folder, text: str, number: int, refs: int) -> int:
    """Equal parts behind each ref of a row; `quantity` counts all of the row, and may be left out."""
    if not text:
        return 1
    whole = re.fullmatch(r"0*(\d{1,4})(?:[.,]0*)?", text)
    count = int(whole.group(1)) if whole else 0
    if count >= 1 and (count % refs == 0 or count == 1):
        return max(1, count // refs)
    expected = "a whole number of equal parts, 1 to 9999"
    if count:
        expected = f"{refs}, the number of refs in the row, or a multiple"
    folder.report(NAME, f"quantity {text[:40]!r}", expected, "Correct it; 1 a ref is taken.", Cell(number, "quantity"))
    return 1


def _unrepeated(folder: Folder, first: dict[str, int], row: PartRow) -> PartRow:
    """The row without refs that stand before it."""
    own: list[str] = []
    for ref in row.refs:
        if ref in first:
            found, step = f"{ref} stands in row {first[ref]} too", "Rename one of them; the first is used."
            folder.report(NAME, found, "each ref once", step, Cell(row.row, "ref"))
        else:
            first[ref] = row.row
            own.append(ref)
    return replace(row, refs=tuple(own))
