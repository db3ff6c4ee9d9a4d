"""How three bench instruments write their logs."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

Rows = Sequence[Sequence[str]]


@dataclass(frozen=True)
class Column:
    """A column in the three ways of naming it, and how many decimals the instrument writes."""

    german: str
    plain: str
    unit: str
    decimals: int


def write_log(dialect: str, columns: Sequence[Column], rows: Sequence[Sequence[float]], start: datetime) -> str:
    """Text of a log; the first value of each row is seconds from `start`. `dialect`: german, iso or units."""
    writer = {"german": _german, "iso": _iso, "units": _units}[dialect]
    return writer(columns, rows, start)


def headings(dialect: str, columns: Sequence[Column]) -> list[str]:
    """The headings that `write_log` writes, the time first."""
    if dialect == "german":
        return ["Zeit [s]", *(f"{c.german} [{c.unit}]" if c.unit else c.german for c in columns)]
    if dialect == "iso":
        return ["timestamp", *(f"{c.plain}_{c.unit}" if c.unit else c.plain for c in columns)]
    return ["Time", *(c.plain for c in columns)]


def _text(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0 else text


def _german(columns: Sequence[Column], rows: Sequence[Sequence[float]], start: datetime) -> str:
    lines = [
        "Messprotokoll",
        f"Datum;{start:%d.%m.%Y}",
        f"Startzeit;{start:%H:%M:%S}",
        "Mittelung;1,0 s",
        "Kopplung;AC+DC",
        "",
        ";".join(headings("german", columns)),
    ]
    for seconds, *values in rows:
        cells = [_text(seconds, 1), *(_text(v, c.decimals) for v, c in zip(values, columns, strict=True))]
        lines.append(";".join(cells).replace(".", ","))
    return "\r\n".join(lines) + "\r\n"


def _iso(columns: Sequence[Column], rows: Sequence[Sequence[float]], start: datetime) -> str:
    lines = [",".join(headings("iso", columns))]
    for seconds, *values in rows:
        stamp = (start + timedelta(seconds=seconds)).isoformat(timespec="milliseconds")
        lines.append(",".join([stamp, *(_text(v, c.decimals) for v, c in zip(values, columns, strict=True))]))
    return "\n".join(lines) + "\n"


def _units(columns: Sequence[Column], rows: Sequence[Sequence[float]], start: datetime) -> str:
    lines = [",".join(headings("units", columns)), ",".join(["s", *(c.unit for c in columns)])]
    for seconds, *values in rows:
        cells = [_text(seconds, 2), *(_text(v, c.decimals) for v, c in zip(values, columns, strict=True))]
        lines.append(",".join(cells))
    return "\n".join(lines) + "\n"
