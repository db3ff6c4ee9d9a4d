"""A collection of broken bench logs. Each row: what is wrong, the file, and what the message must name: the row, the
column (where the file shows no column: its number, or the byte or character of the row), and some words of it. Marks
and dialects: trade habit (common practice, no source), except the SCPI-1999 values of infinity and not-a-number.
"""

from typing import NamedTuple


class Broken(NamedTuple):
    """A file and the message that it must give."""

    what: str
    data: bytes
    row: int
    column: str
    words: str
    loses: bool = False


HEAD = "Time (s),Pin (W),Vout (V),Iout (A)"
GOOD = ["0,72.2,20.05,3.25", "1,72.2,20.05,3.25", "2,72.3,20.04,3.25", "3,72.2,20.05,3.25", "4,72.1,20.05,3.25"]
GOOD += ["5,72.2,20.05,3.25", "6,72.2,20.05,3.25"]


def table(*rows: str, head: str = HEAD) -> bytes:
    """A header, seven good rows, and the rows given."""
    return "\n".join([head, *GOOD, *rows, ""]).encode()


def with_row(row: str, at: int = 4, head: str = HEAD) -> bytes:
    """The good table with one row replaced; the header is row 1."""
    rows = [*GOOD]
    rows[at - 2] = row
    return "\n".join([head, *rows, ""]).encode()


def german(row: str) -> bytes:
    """A table with semicolons and decimal commas, in which row 4 is replaced."""
    rows = [good.replace(",", ";").replace(".", ",") for good in GOOD]
    rows[2] = row
    return "\n".join([HEAD.replace(",", ";"), *rows, ""]).encode()


OVER = (
    "OL",
    "-OL",
    ".OL",
    "OVLD",
    "OVERLOAD",
    "Over Range",
    "1E+38",
    "9.9E37",
    "-9.9E+37",
    "9.91E37",
    "inf",
    "OVF",
    "9.91E+37",
)
NOTHING = ("", "-----", "N/A", "#N/A", "nan", "null", "***", "???", "ERR", "no data", "--", "invalid")
WRONG = ("abc", "72.2.1", "12:30", "7 2", "72.2 V", "0x41", "1,5", "72;2", "ca. 72", "<0.1")

DATES = b"Time,Pin (W)\n2026-02-28T10:00:00,1\n2026-02-30T10:00:01,1\n2026-02-28T10:00:02,1\n"

BROKEN: list[Broken] = [
    *(Broken(f"over range {mark}", with_row(f"2,{mark},20.04,3.25"), 4, "Pin (W)", "over range") for mark in OVER),
    *(Broken(f"no value {mark!r}", with_row(f"2,{mark},20.04,3.25"), 4, "Pin (W)", "no value") for mark in NOTHING),
    *(
        Broken(f"no number {text!r}", with_row(f'2,"{text}",20.04,3.25'), 4, "Pin (W)", "is no number", loses=True)
        for text in WRONG
    ),
    Broken("empty", b"", 1, "column 1", "an empty file", loses=True),
    Broken("only blanks", b" \n\n \r\n", 1, "column 1", "an empty file", loses=True),
    Broken("binary", bytes(range(256)) * 8, 1, "byte 1", "binary data", loses=True),
    Broken("zeros", b"\0" * 4000, 1, "byte 1", "binary data", loses=True),
    Broken("spreadsheet", b"PK\x03\x04" + b"x" * 200, 1, "byte 1", "a ZIP file, or a spreadsheet", loses=True),
    Broken("picture", b"\x89PNG\r\n\x1a\n" + b"x" * 200, 1, "byte 1", "a PNG picture", loses=True),
    Broken("gzip", b"\x1f\x8b\x08" + b"x" * 200, 1, "byte 1", "a gzip file", loses=True),
    Broken("prose", b"This is not a log.\nIt is a letter.\n", 1, "column 2", "no table of numbers", loses=True),
    Broken("header only", HEAD.encode() + b"\n", 2, "Time (s)", "no table of numbers", loses=True),
    Broken("one column", b"Pin (W)\n1\n2\n3\n", 1, "column 2", "no table of numbers", loses=True),
    Broken("no header", b"0,1,2,3\n1,2,3,4\n2,3,4,5\n3,4,5,6\n", 1, "column 1", "numbers without a header", loses=True),
    Broken("short row", with_row("2,72.3"), 4, "Vout (V)", "rows without 4 cells", loses=True),
    Broken("long row", with_row("2,72.3,20.04,3.25,9,9"), 4, "column 5", "rows without 4 cells", loses=True),
    Broken("cut off", table("7,72.2,20"), 9, "Iout (A)", "rows without 4 cells", loses=True),
    Broken("remark between", with_row("# paused here"), 4, "Time (s)", "text between the numbers"),
    Broken("end mark", table("*** end of log ***"), 9, "Time (s)", "text between the numbers"),
    Broken("header again", table(HEAD, "7,72.2,20.05,3.25", "8,72.2,20.05,3.25"), 9, "Time (s)", "the header again"),
    Broken(
        "restarted",
        table("0,72.2,20.05,3.25", "1,72.2,20.05,3.26", "2,72.2,20.05,3.25"),
        9,
        "Time (s)",
        "time begins again",
    ),
    Broken("out of order", with_row("0.5,72.3,20.04,3.25"), 4, "Time (s)", "rows out of order"),
    Broken("recorded twice", with_row("1,72.2,20.05,3.25"), 4, "Time (s)", "recorded twice"),
    Broken("a gap", table("600,72.2,20.05,3.25"), 8, "Time (s)", "a gap of 594 s"),
    Broken("no time in a row", with_row(",72.3,20.04,3.25"), 4, "Time (s)", "no time", loses=True),
    Broken("unreadable time", with_row("soon,72.3,20.04,3.25"), 4, "Time (s)", "no readable time ('soon')", loses=True),
    Broken("impossible date", DATES, 3, "Time", "no readable time", loses=True),
    Broken("no time column", b"Pin (W),Vout (V)\n1,2\n1,2\n1,2\n", 1, "Pin (W)", "no column of time", loses=True),
    Broken("nothing recognised", b"time,foo,bar\n0,1,2\n1,1,2\n2,1,2\n", 1, "time", "none of the columns", loses=True),
    Broken("same name twice", table(head="Time (s),Pin (W),Pin (W),Iout (A)"), 1, "Pin (W)", "two columns are called"),
    Broken(
        "two of a quantity", table(head="Time (s),Pin (W),P_in (W),Iout (A)"), 1, "P_in (W)", "are both input power"
    ),
    Broken("side not told", table(head="Time (s),P (W),Vout (V),Iout (A)"), 1, "P (W)", "does not tell its side"),
    Broken("two sides not told", table(head="Time (s),Pin (W),U1 (V),U2 (V)"), 1, "U1 (V)", "not clear what"),
    Broken(
        "unit of another dimension", table(head="Time (s),input power (V),Vout (V),Iout (A)"), 1, "input power (V)", ""
    ),
    Broken(
        "column without value",
        b"Time (s),Pin (W),Iout (A)\n0,OL,1\n1,OL,1\n2,OL,1\n",
        2,
        "Pin (W)",
        "no value at all",
    ),
    Broken(
        "negative throughout",
        table(head="Time (s),Pin (W),Vout (V),Iout (A)").replace(b",3.25", b",-3.25"),
        2,
        "Iout (A)",
        "negative",
    ),
    Broken("open quote", with_row('2,"72.3,20.04,3.25'), 4, "Pin (W)", "a quote that is never closed"),
    Broken("comma file: 1.234", german("2;1.234;20,04;3,25"), 4, "Pin (W)", "'1.234' is no number", loses=True),
    Broken("comma file: text", german("2;abc;20,04;3,25"), 4, "Pin (W)", "'abc' is no number", loses=True),
    Broken("comma file: over range", german("2;OL;20,04;3,25"), 4, "Pin (W)", "over range"),
    Broken(
        "day or month",
        b"Date,Pin (W)\n3/4/2026 10:00:00,1\n3/4/2026 10:00:01,1\n3/4/2026 10:00:02,1\n",
        2,
        "Date",
        "day/month",
    ),
    Broken(
        "a damaged character",
        b"\xef\xbb\xbf" + with_row("2,72.3,x,3.25").replace(b"x", b"\xff20"),
        4,
        "Vout (V)",
        "is no number",
        loses=True,
    ),
    Broken("UTF-16: text", with_row("2,abc,20.04,3.25").decode().encode("utf-16"), 4, "Pin (W)", "'abc'", loses=True),
    Broken("UTF-16: cut in a character", table().decode().encode("utf-16")[:-3], 8, "character 17", "no utf-16"),
    Broken("damaged spreadsheet", b"PK\x03\x04" + b"xl/workbook.xml" * 20, 1, "byte 1", "a ZIP file", loses=True),
    Broken(
        "a byte of another kind",
        table("7,72.2,20.05,3.25").replace(b"7,72", b"\0" * 300 + b"7,72"),
        9,
        "byte 1",
        "binary data",
        loses=True,
    ),
    Broken(
        "units row: torn",
        b"Time;Pin;Iout\ns;W;A\n0;1;2\n1;1\n2;1;2\n3;1;2\n",
        4,
        "Iout",
        "rows without 3 cells",
        loses=True,
    ),
    Broken(
        "ISO stamps out of order",
        b"Zeit;Pin (W)\n2026-02-28T10:00:00;1\n2026-02-28T10:00:02;1\n2026-02-28T10:00:01;1\n",
        4,
        "Zeit",
        "rows out of order",
    ),
    Broken("header without a column", table(head=HEAD + ",PF"), 1, "PF", "a header without a column below it"),
    Broken(
        "unknown unit in the units row",
        b"Time;Pin;Iout\ns;W;furlong\n0;1;2\n1;1;2\n2;1;2\n",
        1,
        "Iout",
        "unknown unit 'furlong'",
    ),
]
