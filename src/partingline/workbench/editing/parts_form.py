"""Fields of `parts.csv`: a cell by the ref of its row and its column, or a whole row."""

import re
from collections.abc import Iterator
from typing import Any

from partingline.readers.parts.rows import COLUMNS
from partingline.workbench.editing.csv_text import Row, delimiter_of, line_end_of, split_rows, written_row
from partingline.workbench.editing.outcome import RefusedError
from partingline.workbench.editing.versions import ABSENT, Path, version_of

_MARK = "\ufeff"
_SAME = {"reference": "ref", "designator": "ref", "qty": "quantity", "count": "quantity", "mpn": "part_number"}
_FILE = "parts.csv"


class PartsForm:
    """The part list. `("C3", "marking")` is a cell, `("C3",)` a row as a table of its cells."""

    def look(self, text: str, path: Path) -> tuple[Any, str]:
        """Value and version of a cell or a row."""
        ref, column = _names(path)
        table = _Table(text)
        number = table.find(ref)
        if number is None:
            return None, ABSENT
        cells = table.cells(number)
        if not column:
            return cells, version_of(cells)
        return cells.get(column, ""), version_of(cells.get(column, ""), ref, column)

    def put(self, text: str, path: Path, value: Any) -> tuple[str, Path]:
        """The text with one cell set, or one row set, added or taken away."""
        ref, column = _names(path)
        table = _Table(text)
        number = table.find(ref)
        if column:
            if number is None:
                raise RefusedError(_FILE, f"no row {ref!r}", "a ref that is there", "Add the row first.")
            table.write(number, {**table.cells(number), column: _cell(value)})
            return table.text(), (_cell(value), column) if column == "ref" else path
        if value is None:
            if number is not None:
                del table.rows[number]
            return table.text(), path
        cells = {_column(name): _cell(one) for name, one in dict(value).items()}
        table.write(number, {**cells, "ref": cells.get("ref") or ref})
        return table.text(), (cells.get("ref") or ref,)

    def fields(self, text: str) -> Iterator[tuple[Path, Any, str]]:
        """Every cell of every row that has a ref."""
        for ref, cells in _Table(text).told():
            for column, value in cells.items():
                yield (ref, column), value, version_of(value, ref, column)

    def rows(self, text: str) -> Iterator[tuple[str, str, dict[str, str]]]:
        """Ref, version and cells of each row."""
        for ref, cells in _Table(text).told():
            yield ref, version_of(cells), cells


class _Table:
    def __init__(self, text: str) -> None:
        self.mark = _MARK if text.startswith(_MARK) else ""
        body = text.removeprefix(_MARK)
        self.delimiter, self.line_end = delimiter_of(body), line_end_of(body)
        self.rows = split_rows(body, self.delimiter)
        head = next((n for n, row in enumerate(self.rows) if any(row.cells)), None)
        if head is None:
            self.rows.append(Row(written_row(list(COLUMNS), self.delimiter, self.line_end), COLUMNS))
            head = len(self.rows) - 1
        self.head = head
        self.columns = [_known(cell) for cell in self.rows[head].cells]
        if "ref" not in self.columns:
            expected = f"a header row with {', '.join(COLUMNS)}"
            raise RefusedError(_FILE, "no column 'ref'", expected, "Add it to the header by hand.")

    def find(self, ref: str) -> int | None:
        at = self.columns.index("ref")
        for number, row in enumerate(self.rows[self.head + 1 :], self.head + 1):
            if at < len(row.cells) and row.cells[at] == ref:
                return number
        return None

    def cells(self, number: int) -> dict[str, str]:
        return _by_column(self.columns, self.rows[number].cells)

    def told(self) -> Iterator[tuple[str, dict[str, str]]]:
        seen: set[str] = set()
        for row in self.rows[self.head + 1 :]:
            cells = _by_column(self.columns, row.cells)
            ref = cells.get("ref", "")
            if ref and ref not in seen:
                seen.add(ref)
                yield ref, cells

    def write(self, number: int | None, cells: dict[str, str]) -> None:
        """Set a row, or add one; cells of columns that the product does not know stay as they are."""
        if missing := [name for name in cells if name not in self.columns and cells[name]]:
            self._widen(missing)
        old = list(self.rows[number].cells) if number is not None else []
        old += [""] * (len(self.columns) - len(old))
        new = [
            cells.get(name, old[at]) if _first(self.columns, at) else old[at] for at, name in enumerate(self.columns)
        ]
        row = Row(written_row(new + old[len(new) :], self.delimiter, self.line_end), tuple(new))
        if number is not None:
            self.rows[number] = row
            return
        if self.rows and not self.rows[-1].text.endswith(("\n", "\r")):
            self.rows[-1] = Row(self.rows[-1].text + self.line_end, self.rows[-1].cells)
        self.rows.append(row)

    def text(self) -> str:
        return self.mark + "".join(row.text for row in self.rows)

    def _widen(self, missing: list[str]) -> None:
        head = [*self.rows[self.head].cells, *missing]
        self.rows[self.head] = Row(written_row(head, self.delimiter, self.line_end), tuple(head))
        self.columns += missing


def _by_column(columns: list[str], cells: tuple[str, ...]) -> dict[str, str]:
    told: dict[str, str] = {}
    for at, name in enumerate(columns):
        if name in COLUMNS:
            told.setdefault(name, cells[at] if at < len(cells) else "")
    return told


def _first(columns: list[str], at: int) -> bool:
    return columns[at] in COLUMNS and columns.index(columns[at]) == at


def _known(cell: str) -> str:
    name = re.sub(r"[\s\-]+", "_", cell.casefold())
    return _SAME.get(name, "note" if name == "notes" else name)


def _names(path: Path) -> tuple[str, str]:
    names = [str(piece) for piece in path]
    if len(names) not in (1, 2) or not names[0].strip() or len(names[0]) > 400:
        raise RefusedError(_FILE, f"the path {names!r:.120}", "[ref] or [ref, column]", "Name a row or a cell.")
    return names[0], _column(names[1]) if len(names) == 2 else ""


def _column(name: str) -> str:
    if name not in COLUMNS:
        raise RefusedError(_FILE, f"column {name!r:.60}", f"one of {', '.join(COLUMNS)}", "Name a column.")
    return name


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if not isinstance(value, str) or "\0" in value or len(value) > 10_000 or value.count("\n") > 30:
        raise RefusedError(_FILE, f"{value!r:.60}", "text of at most 10,000 characters", "Shorten it.")
    return value.strip().replace("\r\n", "\n").replace("\r", "\n")
