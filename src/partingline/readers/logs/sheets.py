"""Spreadsheets (XLSX): the sheet that holds the log, as tab-divided text whose rows are the sheet's rows.

calamine (a well-kept reader) is imported only when a spreadsheet is met. A sheet is chosen by
`sheet` in logs.toml; without it the one with the most filled rows is read.
"""

import io
import zipfile
from datetime import date, datetime, time, timedelta

from partingline.model import Cell, Whole
from partingline.readers.logs.types import Notes

MAX_UNPACKED = 512 << 20
"""Bytes that a spreadsheet may unpack to."""
_DIVIDERS = str.maketrans("\t\r\n", "   ")


def is_sheet(data: bytes) -> bool:
    """Whether the bytes are a ZIP file with a workbook in it."""
    if not data.startswith(b"PK\x03\x04"):
        return False
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return "xl/workbook.xml" in archive.namelist()
    except zipfile.BadZipFile:
        return False


def sheet_text(data: bytes, sheet: str, notes: Notes) -> str | None:
    """The cells of a sheet as text, or None with a problem: too large, damaged, no such sheet, nothing in it."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        unpacked = sum(item.file_size for item in archive.infolist())
    if unpacked > MAX_UNPACKED:
        found, bound = f"a spreadsheet of {unpacked >> 20} MiB unpacked", f"at most {MAX_UNPACKED >> 20} MiB"
        notes.add(Whole(), found, bound, "Export the sheet as CSV.")
        return None
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        names = book.sheet_names
        if sheet and sheet not in names:
            notes.add(Whole(), f"no sheet {sheet!r}", f"one of {', '.join(map(repr, names))}", "Correct `sheet`.")
            return None
        tables = {name: book.get_sheet_by_name(name).to_python(skip_empty_area=False) for name in names}
    except (CalamineError, zipfile.BadZipFile, OSError, ValueError) as error:
        notes.add(
            Cell(1, "column 1"), f"a damaged spreadsheet ({error})", "an XLSX file", "Save it again, or export CSV."
        )
        return None
    chosen = sheet or max(tables, key=lambda name: sum(any(cell != "" for cell in row) for row in tables[name]))
    rows = tables.get(chosen, [])
    if not any(cell != "" for row in rows for cell in row):
        notes.add(
            Cell(1, "column 1"), "an empty spreadsheet", "a header row and rows of numbers", "Is it the right file?"
        )
        return None
    if not sheet and len(tables) > 1:
        others = ", ".join(repr(name) for name in tables if name != chosen)
        step = f'Read is {chosen!r}, the fullest; choose with sheet = "{chosen}" in logs.toml.'
        notes.add(Whole(), f"several sheets (besides {chosen!r}: {others})", "one sheet", step, loses=False)
    return "\n".join("\t".join(map(_cell, row)) for row in rows)


def _cell(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float):
        return f"{value:.15g}"
    if isinstance(value, datetime):
        return value.isoformat(sep=" ")
    if isinstance(value, timedelta):
        return f"{value.total_seconds():.6f}".rstrip("0").rstrip(".")
    if isinstance(value, date):
        return f"{value.isoformat()} 00:00:00"
    if isinstance(value, time):
        return value.isoformat()
    return str(value).translate(_DIVIDERS)
