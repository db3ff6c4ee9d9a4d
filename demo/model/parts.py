"""The part list as a German spreadsheet writes it: UTF-8 with byte-order mark, semicolons, CRLF."""

import csv
import io
from pathlib import Path

TABLE = Path(__file__).with_name("parts.txt")


def part_rows() -> list[dict[str, str]]:
    """Each part of `parts.txt` by its column names."""
    header, *rows = (line.split("|") for line in TABLE.read_text("utf-8").splitlines())
    return [dict(zip(header, row, strict=True)) for row in rows]


def parts_csv() -> str:
    """The text of `parts.csv` with its byte-order mark; a blank row at the end as spreadsheets leave it."""
    rows = part_rows()
    out = io.StringIO()
    writer = csv.writer(out, delimiter=";", lineterminator="\r\n")
    writer.writerow(rows[0])
    writer.writerows(row.values() for row in rows)
    return "\ufeff" + out.getvalue() + ";" * (len(rows[0]) - 1) + "\r\n"
