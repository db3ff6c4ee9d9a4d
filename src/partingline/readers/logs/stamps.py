"""Time stamps: elapsed seconds, epoch, ISO 8601 and the dates of spreadsheets, and bare times of day."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np

from partingline.model import Cell
from partingline.readers.logs.cells import OVER_RANGE
from partingline.readers.logs.types import Column, Floats, Notes

_ISO = re.compile(r"^\d{4}-\d\d-\d\d[T ]\d\d:\d\d")
_CLOCK = re.compile(r"^(\d{1,4}):(\d\d)(?::(\d\d(?:[.,]\d+)?))?$")
_DATE = re.compile(
    r"^(\d{1,4})([./-])(\d{1,2})\2(\d{1,4})(?:[T ,]+(\d{1,2}):(\d\d)(?::(\d\d(?:[.,]\d+)?))?\s*(AM|PM)?)?$",
    re.IGNORECASE,
)
_ZONE = re.compile(r"\s*(?:Z|UTC|[+-]\d\d:?\d\d)$")
_DAY = 86400.0
_ENOUGH = 100_000
_EPOCH_UNITS = ((1e17, 1e-9), (1e14, 1e-6), (1e11, 1e-3), (1e8, 1.0))
EXPECTED = "elapsed seconds, an ISO date and time, or a time of day"


@dataclass(frozen=True, slots=True)
class Stamps:
    """Seconds of each row (NaN where unreadable) from an origin, and the origin as date and time where it is known."""

    seconds: Floats
    origin: datetime | None
    kind: str


def looks_like_time(cells: Sequence[str]) -> bool:
    """Whether a column holds dates or times of day, whatever its header says."""
    filled = [cell.strip() for cell in cells[:50] if cell.strip()]
    hits = sum(1 for cell in filled if _ISO.match(cell) or _CLOCK.match(cell) or _DATE.match(cell))
    return bool(filled) and hits > len(filled) * 0.6


def read_stamps(
    cells: Sequence[str], rows: Sequence[int], column: Column, notes: Notes, *, decimal: str = "."
) -> Stamps:
    """Seconds of each row; rows whose stamp cannot be read are NaN and reported."""
    stripped = [cell.strip() for cell in cells]
    sample = [cell for cell in stripped[:200] if cell]
    if _mostly(sample, _ISO):
        stamps = _iso(stripped)
    elif _mostly(sample, _CLOCK):
        stamps = Stamps(_roll_over(_each(stripped, _clock)), None, "time of day")
    elif _mostly(sample, _DATE):
        stamps = _dated(stripped, column, notes, rows)
    else:
        stamps = _numbers(plain_seconds(stripped, decimal), column)
    tell_unreadable(stamps, stripped, rows, column, notes)
    return stamps


def number_stamps(numbers: Floats, rows: Sequence[int], column: Column, notes: Notes) -> Stamps:
    """The same of a column that was read as numbers."""
    if len(numbers) and not max(float(numbers.max()), -float(numbers.min())) < OVER_RANGE:
        numbers = np.where(np.abs(numbers) < OVER_RANGE, numbers, np.nan)
    stamps = _numbers(numbers, column)
    tell_unreadable(stamps, (), rows, column, notes)
    return stamps


def tell_unreadable(stamps: Stamps, cells: Sequence[str], rows: Sequence[int], column: Column, notes: Notes) -> None:
    """Report the rows whose stamp is NaN; `cells` are their texts where they are still known."""
    bad = np.flatnonzero(np.isnan(stamps.seconds)).tolist()
    if len(bad):
        shown = cells[bad[0]][:40] if cells else "nan"
        found = f"no readable time ({shown!r})" if shown else "no time"
        notes.cells(
            [int(rows[n]) for n in bad], column.name, found, EXPECTED, "These rows are left out; correct the stamp."
        )


def _mostly(sample: list[str], pattern: re.Pattern[str]) -> bool:
    return sum(1 for cell in sample if pattern.match(cell)) > len(sample) * 0.6


def looks_like_iso(cell: str) -> bool:
    """Whether a cell is an ISO 8601 date and time."""
    return bool(_ISO.match(cell))


def iso_seconds(cells: Sequence[str]) -> Floats:
    """Seconds since 1970 of ISO 8601 dates and times, each with its own zone or none; NaN where unreadable."""
    return _each(cells, _iso_one)


def plain_seconds(cells: Sequence[str], decimal: str) -> Floats:
    """Numbers of a time column, in its unit; NaN where unreadable."""
    return _each([cell.replace(",", ".") for cell in cells] if decimal == "," else cells, _number)


def _iso(cells: list[str]) -> Stamps:
    """ISO 8601 with or without zone; the zone of the first row names the origin, each row's own counts for its
    seconds."""
    first = next((cell for cell in cells if _ISO.match(cell)), "")
    zone = _ZONE.search(first)
    suffix = zone.group(0) if zone else ""
    offset = _zone_seconds(suffix)
    try:
        if not all(cell.endswith(suffix) for cell in cells) or "," in first:
            raise ValueError("mixed zones")
        bare = [cell[: len(cell) - len(suffix)] for cell in cells] if suffix else cells
        micros = np.array(bare, dtype="datetime64[us]").astype(np.int64)
        seconds = np.asarray(micros * 1e-6 - offset, dtype=np.float64)
        seconds[micros == np.iinfo(np.int64).min] = np.nan
    except ValueError:
        seconds = iso_seconds(cells)
    return from_first(seconds, "date and time")


def _iso_one(text: str) -> float:
    try:
        moment = datetime.fromisoformat(text.replace(",", ".").replace("UTC", "Z"))
    except ValueError:
        return float("nan")
    return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp()


def _zone_seconds(zone: str) -> float:
    digits = re.sub(r"\D", "", zone)
    if len(digits) != 4:
        return 0.0
    return (-1 if "-" in zone else 1) * (int(digits[:2]) * 3600.0 + int(digits[2:]) * 60.0)


def from_first(seconds: Floats, kind: str) -> Stamps:
    """Stamps counted from the first readable one, which becomes the origin."""
    good = seconds[~np.isnan(seconds)]
    if not len(good):
        return Stamps(seconds, None, kind)
    try:
        origin = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=float(good[0]))
    except OverflowError:
        return Stamps(seconds, None, kind)
    return Stamps(seconds - good[0], origin, kind)


def _each(cells: Sequence[str], read: Callable[[str], float]) -> Floats:
    return np.fromiter(map(read, cells), np.float64, len(cells))


def _clock(text: str) -> float:
    match = _CLOCK.match(text)
    if not match:
        return float("nan")
    hours, minutes, seconds = match.groups()
    return int(hours) * 3600.0 + int(minutes) * 60.0 + float((seconds or "0").replace(",", "."))


def _roll_over(seconds: Floats) -> Floats:
    """A time of day that falls by more than twelve hours has passed midnight."""
    good = ~np.isnan(seconds)
    kept = seconds[good]
    days = np.cumsum(np.concatenate([[0], (np.diff(kept) < -_DAY / 2).astype(int)])) if len(kept) else kept
    out = seconds.copy()
    out[good] = kept + days * _DAY
    return out


def _dated(cells: list[str], column: Column, notes: Notes, rows: Sequence[int]) -> Stamps:
    """Dates as spreadsheets write them; day or month first is told by a number above 12, else by the divider."""
    matches = [_DATE.match(cell) for cell in cells]
    pairs = [(m.group(2), int(m.group(1)), int(m.group(3))) for m in matches if m and len(m.group(1)) < 4]
    month_first = False
    if pairs:
        divider = pairs[0][0]
        by_number = any(second > 12 for _, _, second in pairs)
        month_first = by_number or (divider == "/" and not any(first > 12 for _, first, _ in pairs))
        if divider == "/" and not by_number and month_first:
            expected, step = "year-month-day", "Taken as month/day; only the date of the log depends on it."
            notes.add(
                Cell(rows[0], column.name), "dates that can be day/month or month/day", expected, step, loses=False
            )
    seconds = np.array([_date_seconds(m, month_first) if m else np.nan for m in matches])
    return from_first(seconds, "date and time")


def _date_seconds(match: re.Match[str], month_first: bool) -> float:
    a, _, b, c, hour, minute, second, half = match.groups()
    if len(a) == 4:
        year, month, day = int(a), int(b), int(c)
    else:
        year, (month, day) = int(c), (int(a), int(b)) if month_first else (int(b), int(a))
        year += 2000 if year < 100 else 0
    hours = int(hour or 0)
    if half:
        hours = hours % 12 + (12 if half.upper() == "PM" else 0)
    try:
        moment = datetime(year, month, day, hours, int(minute or 0), tzinfo=UTC)
    except ValueError:
        return float("nan")
    return moment.timestamp() + float((second or "0").replace(",", "."))


def _numbers(seconds: Floats, column: Column) -> Stamps:
    """Elapsed time in the unit of the column (seconds without one), or an epoch in s, ms, µs or ns by its size."""
    some = seconds[:: max(1, len(seconds) // _ENOUGH)]
    good = np.abs(some[~np.isnan(some)])
    size = float(np.median(good)) if len(good) else 0.0
    if (size >= _EPOCH_UNITS[-1][0] and column.si != "s") or size >= 1e9:
        factor = next(factor for bound, factor in _EPOCH_UNITS if size >= bound)
        return from_first(seconds * factor, "epoch")
    factor = column.factor if column.si == "s" else 1.0
    return Stamps(seconds if factor == 1.0 else seconds * factor, None, "elapsed")


def _number(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        return float("nan")
    return value if abs(value) < OVER_RANGE else float("nan")
