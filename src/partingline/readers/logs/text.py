"""From the bytes of a log to its text: what is too large, binary or damaged is refused with a reason."""

from pathlib import Path

from partingline.model import Cell, Whole
from partingline.readers.logs.sheets import is_sheet, sheet_text
from partingline.readers.logs.types import Notes

MAX_BYTES = 256 * 1024 * 1024
"""Largest log that is read as one text: a day of eight columns at 20 samples a second. Larger ones go by blocks."""

_MAGIC = {
    b"PK\x03\x04": "a ZIP file, or a spreadsheet that is not XLSX",
    b"\xd0\xcf\x11\xe0": "an old spreadsheet file (XLS)",
    b"\x89PNG": "a PNG picture",
    b"\xff\xd8\xff": "a JPEG picture",
    b"%PDF": "a PDF file",
    b"\x1f\x8b": "a gzip file",
}
_ODD = bytes(code for code in range(32) if code not in b"\t\n\v\f\r\x1a")
"""Bytes that stand in no text."""
_MARKS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))


def size_of(path: Path, notes: Notes) -> int | None:
    """Bytes of a log, or None with a problem: missing, no regular file, unreadable."""
    expected = "a CSV file as the instrument wrote it"
    try:
        if not path.exists():
            notes.add(
                Whole(), "no such file", expected, "Copy the log into logs/, or correct `file` in logs/logs.toml."
            )
            return None
        if not path.is_file():
            notes.add(Whole(), "not a regular file", expected, "Name the log itself in logs/logs.toml.")
            return None
        return path.stat().st_size
    except OSError as error:
        notes.add(Whole(), f"unreadable ({error.strerror})", expected, "Check the file's permissions.")
        return None


def read_bytes(path: Path, notes: Notes) -> bytes | None:
    """The bytes of a log that is read as a whole, or None with a problem: unreadable, too large."""
    try:
        size = path.stat().st_size
        if size > MAX_BYTES:
            step = "Install the extra: pip install 'partingline[large]'; or split the log."
            bound = f"at most {MAX_BYTES >> 20} MiB without the extra 'large'"
            notes.add(Whole(), f"a file of {size / 2**20:.0f} MiB", bound, step)
            return None
        return path.read_bytes()
    except OSError as error:
        step = "Check the file's permissions."
        notes.add(Whole(), f"unreadable ({error.strerror})", "a file that can be read", step)
        return None


def decode(data: bytes, notes: Notes, sheet: str = "") -> tuple[str, str] | None:
    """Text and encoding, or None with a problem: empty or binary. UTF-8, UTF-16 and Windows-1252 are known."""
    if not data.strip():
        expected = "a header row and rows of numbers"
        notes.add(Cell(1, "column 1"), "an empty file", expected, "Export the log again, or remove it.")
        return None
    if is_sheet(data):
        told = sheet_text(data, sheet, notes)
        return None if told is None else (told, "xlsx")
    for magic, what in _MAGIC.items():
        if data.startswith(magic):
            notes.add(Cell(1, "byte 1"), what, "a CSV text file or XLSX", "Export the log as CSV.")
            return None
    encoding = _encoding(data)
    if encoding == "binary":
        notes.add(_first_odd(data), "binary data", "a CSV text file or XLSX", "Export the log as CSV.")
        return None
    text = data.decode(encoding, errors="replace")
    damaged = text.count("\ufffd")
    if damaged:
        before = text[: text.index("\ufffd")].split("\n")
        found = f"{damaged} characters that are no {encoding}"
        notes.add(
            Cell(len(before), f"character {len(before[-1]) + 1}"),
            found,
            "one encoding in the whole file",
            "Save the log again as UTF-8.",
            loses=False,
        )
    return text.lstrip("\ufeff"), encoding


def _first_odd(data: bytes) -> Cell:
    """The row and the byte of it that are no text."""
    at = next((n for n, code in enumerate(data) if code in _ODD), 0)
    before = data[:at].split(b"\n")
    return Cell(len(before), f"byte {len(before[-1]) + 1}")


def _encoding(data: bytes) -> str:
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return encoding
    head = data[:4096]
    zeros_even, zeros_odd = head[::2].count(0), head[1::2].count(0)
    if zeros_odd > len(head) * 0.3 and zeros_even == 0:
        return "utf-16-le"
    if zeros_even > len(head) * 0.3 and zeros_odd == 0:
        return "utf-16-be"
    strange = sum(map(head.count, _ODD))
    if 0 in head or strange > len(head) * 0.02:
        return "binary"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"
