"""From the cells of a column to numbers: over-range marks become NaN, what is no number is reported with its row.

SCPI-1999, 7.2.1.4 and 7.2.1.5: infinity is sent as 9.9E37, not-a-number as 9.91E37; from memory. The other marks are
trade habit (common practice, no source).
"""

import re
from collections.abc import Sequence

import numpy as np

from partingline.readers.logs.types import Column, Floats, Notes
from partingline.readers.quantities.units import find_unit

OVER_RANGE = 9e36
_MARKS = re.compile(
    r"^(?:[+-]?\.?o\.?l\.?|[+-]?over(?:[ -]?(?:load|range|flow))?\.?|ovld|ovrld|ovf|ovr|[+-]?inf(?:inity)?)$",
    re.IGNORECASE,
)
_EMPTY = re.compile(
    r"^(?:|-+|_+|\*+|\?+|#+|#?n/?a|nan|null|none|nil|no data|invalid|open|err|error|#(?:ref|value|div/0)!)$",
    re.IGNORECASE,
)
_WITH_UNIT = re.compile(r"^([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(\S+)$")
_DIGITS = re.compile(r"^[+-]?\d+(?:\.(\d*))?(?:[eE]([+-]?\d{1,3})(?!\d))?")
_POINT_GROUPS = re.compile(r"^[+-]?\d{1,3}(?:\.\d{3})+(?:,\d+)?$")
_GROUPED = re.compile(r"^[+-]?\d{1,3}(?:[ '\u00a0\u202f]\d{3})+(?:\.\d+)?$")


def read_cells(
    cells: Sequence[str], rows: Sequence[int], column: Column, decimal: str, notes: Notes
) -> tuple[Floats, float]:
    """SI values of a column (NaN where there is none) and the smallest step that its digits can show, in SI units."""
    plain = [_point(cell) for cell in cells] if decimal == "," else cells
    try:
        raw = np.fromiter(map(float, plain), np.float64, len(plain))
        if np.isnan(raw).any():
            _left_out(np.flatnonzero(np.isnan(raw)).tolist(), rows, column, notes)
    except ValueError:
        raw = _one_by_one(plain, cells, rows, column, notes)
    return _without_over_range(raw, rows, column, notes), _step(plain) * column.factor


def to_si(
    raw: Floats,
    sample: Sequence[str],
    rows: Sequence[int],
    column: Column,
    decimal: str,
    notes: Notes,
    *,
    quiet: bool = False,
) -> tuple[Floats, float]:
    """The same from numbers that were read at once; `sample` are some of the column's texts; `quiet`: what has no
    value was told before."""
    plain = [_point(cell) for cell in sample] if decimal == "," else sample
    if quiet:
        return _scaled(raw, column), _step(plain) * column.factor
    if np.isnan(raw).any():
        _left_out(np.flatnonzero(np.isnan(raw)).tolist(), rows, column, notes)
    return _without_over_range(raw, rows, column, notes), _step(plain) * column.factor


def _without_over_range(raw: Floats, rows: Sequence[int], column: Column, notes: Notes) -> Floats:
    if len(raw) and max(float(np.nanmax(raw, initial=0.0)), -float(np.nanmin(raw, initial=0.0))) >= OVER_RANGE:
        over = np.abs(raw) >= OVER_RANGE
        _over(np.flatnonzero(over).tolist(), rows, column, notes)
        raw = np.where(over, np.nan, raw)
    return _scaled(raw, column)


def _scaled(raw: Floats, column: Column) -> Floats:
    return raw if (column.factor, column.offset) == (1.0, 0.0) else raw * column.factor + column.offset


def _point(cell: str) -> str:
    """A cell of a decimal-comma file with a decimal point; `1.234` alone is left as it is not clear what it means."""
    if "." not in cell:
        return cell.replace(",", ".")
    if _POINT_GROUPS.match(cell.strip()):
        return cell.replace(".", "").replace(",", ".") if "," in cell else f"{cell.strip()} (thousands or decimals?)"
    return cell


def _one_by_one(
    plain: Sequence[str], cells: Sequence[str], rows: Sequence[int], column: Column, notes: Notes
) -> Floats:
    raw = np.full(len(plain), np.nan)
    wrong: dict[str, list[int]] = {}
    empty: list[int] = []
    over: list[int] = []
    for n, text in enumerate(plain):
        text = text.strip()
        try:
            raw[n] = float(text)
        except ValueError:
            if _MARKS.match(text):
                over.append(n)
            elif _EMPTY.match(text):
                empty.append(n)
            else:
                raw[n] = _loose(text, column)
                if np.isnan(raw[n]):
                    wrong.setdefault(cells[n].strip()[:40], []).append(rows[n])
    if over:
        _over(over, rows, column, notes)
    if empty and len(empty) < len(plain):
        _left_out(empty, rows, column, notes)
    for text, at in list(wrong.items())[:20]:
        expected = f"a number in {column.unit or column.si or 'the unit of the column'}"
        notes.cells(
            at, column.name, f"{text!r} is no number", expected, "These samples are left out; correct the cell."
        )
    if len(wrong) > 20:
        at = sorted(row for rows_ in list(wrong.values())[20:] for row in rows_)
        notes.cells(at, column.name, "other texts that are no numbers", "numbers", "Is this the right column?")
    return raw


def _over(at: Sequence[int], rows: Sequence[int], column: Column, notes: Notes) -> None:
    expected, step = "a value within the instrument's range", "These samples are left out; choose a higher range."
    notes.cells([rows[n] for n in at], column.name, "over range", expected, step, loses=False)


def _left_out(at: Sequence[int], rows: Sequence[int], column: Column, notes: Notes) -> None:
    notes.cells([rows[n] for n in at], column.name, "no value", "a number", "These samples are left out.", loses=False)


def _loose(text: str, column: Column) -> float:
    """A number with its unit behind it, or with grouped thousands, in the unit of the column; else NaN."""
    if _GROUPED.match(text):
        return float(re.sub(r"[ '\u00a0\u202f]", "", text))
    match = _WITH_UNIT.match(text)
    if not match:
        return float("nan")
    unit = find_unit(match.group(2))
    if unit is None or (column.si and unit.si != column.si):
        return float("nan")
    return (float(match.group(1)) * unit.factor + unit.offset - column.offset) / column.factor


def _step(cells: Sequence[str]) -> float:
    """The weight of the last digit, from the longest decimals among up to 200 cells spread over the column."""
    best = 0
    exponent: int | None = None
    for text in cells[:: max(1, len(cells) // 200)]:
        match = _DIGITS.match(text.strip())
        if not match:
            continue
        decimals, power = match.groups()
        if power:
            weight = int(power) - len(decimals or "")
            exponent = weight if exponent is None else min(exponent, weight)
        best = max(best, len(decimals or ""))
    return 10.0 ** (exponent if exponent is not None else -best)
