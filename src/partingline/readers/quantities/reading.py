"""A quantity in a text: the grammar put together, over whole texts and in running text."""

import decimal as exact
import math
import re
from dataclasses import replace
from functools import lru_cache

from partingline.readers.quantities.complaints import left_over, other_dimension, why_not
from partingline.readers.quantities.forms import (
    QUALIFIER,
    UnitMatch,
    match_clock,
    match_coverage,
    match_letter_point,
    match_qualifier,
    match_qualifier_after,
    match_tolerance,
    match_unit,
)
from partingline.readers.quantities.numbers import Decimal, Number, read_number
from partingline.readers.quantities.types import (
    AmbiguousQuantity,
    FoundQuantity,
    Quantity,
    QuantityError,
    Sense,
)
from partingline.readers.quantities.units import Unit, known_unit

_RANGE = re.compile(r"\s?(?:[-–—~∼…]|\.\.\.?|to\b|bis\b|…)\s?(?=[+\-−]?[.,]?\d)")
_PLUS_MINUS = re.compile(r"\s?(?:±|\+/-|\+/−|\+-)\s?")
_LAST_DIGITS = re.compile(r"\((\d{1,3})\)")
_START = re.compile(rf"(?:{QUALIFIER.pattern})?(?<![\w.,])(?=[(+\-−]?[.,]?\d)", re.IGNORECASE)
_DIGITS = re.compile(r"[(+\-−]*[\d.,]*")


def parse_quantity(text: str, *, unit: str | None = None, decimal: Decimal | None = None) -> Quantity:
    """A whole text as one quantity, in SI units.

    unit: what is expected (any spelling); it decides between readings, and stands in where there is none.
    decimal: the decimal sign where it is known. Raises AmbiguousQuantity where several readings remain
    (`3,000 h`), QuantityError where there is none.
    """
    stripped = text.strip().rstrip(".,; ")
    found = match_quantity(stripped, 0, unit=unit, decimal=decimal, letters=True)
    if found is None:
        raise QuantityError(why_not(stripped, unit))
    if found.end < len(stripped):
        raise QuantityError(left_over(stripped, found))
    readings = _of_dimension(found.readings, unit)
    if not readings:
        raise QuantityError(other_dimension(stripped, found.readings[0], unit or ""))
    if len(readings) > 1:
        said = " or ".join(f"{reading.value:g} {reading.unit}" for reading in readings)
        raise AmbiguousQuantity(f"{stripped!r} can be read as {said}: write it so that only one is possible.", readings)
    return readings[0]


def find_quantities(text: str, *, decimal: Decimal | None = None) -> tuple[FoundQuantity, ...]:
    """Every number with a unit in running text, in order; bare numbers are passed over."""
    found: list[FoundQuantity] = []
    position = 0
    while (start := _START.search(text, position)) is not None:
        match = match_quantity(text, start.start(), decimal=decimal)
        while match is not None:
            found.append(match)
            position = match.end
            match = match_quantity(text, position, decimal=decimal)  # `5V3A`: no gap before the next one
        if not found or found[-1].end <= start.start():
            digits = _DIGITS.match(text, start.end())
            position = max(start.end() + 1, digits.end() if digits else 0)
    return tuple(found)


def match_quantity(
    text: str, start: int, *, unit: str | None = None, decimal: Decimal | None = None, letters: bool = False
) -> FoundQuantity | None:
    """The quantity that begins at character `start`, None where there is none.

    unit: stands in where the text has no unit. letters: also read `4R7`, `100n`, `10K`.
    """
    sense, note, position = match_qualifier(text, start)
    found = _special(text, position, letters)
    if found is None:
        default = known_unit(unit) if unit else None
        found = _numeric(text, position, default, decimal)
    if found is None:
        return None
    end, readings = found
    after, end = match_qualifier_after(text, end)
    said = text[start:end]
    return FoundQuantity(start, end, tuple(_qualified(reading, sense or after, note, said) for reading in readings))


def _special(text: str, start: int, letters: bool) -> tuple[int, tuple[Quantity, ...]] | None:
    clock = match_clock(text, start)
    if clock is not None:
        return clock[0], (clock[1],)
    found = match_letter_point(text, start) if letters else None
    if found is None:
        return None
    end, readings = found
    tolerance = match_tolerance(text, end)
    if tolerance is not None:
        return tolerance[2], tuple(_nominal(reading, tolerance[0], tolerance[1]) for reading in readings)
    return _letter_tolerance(text, end, readings)


def _letter_tolerance(text: str, end: int, readings: tuple[Quantity, ...]) -> tuple[int, tuple[Quantity, ...]]:
    """`4R7 ±5 %`."""
    plus_minus = _PLUS_MINUS.match(text, end)
    second = read_number(text, plus_minus.end()) if plus_minus else None
    unit = match_unit(text, second.end) if second else None
    if second is None or unit is None or unit.unit.si != "1":
        return end, readings
    tolerance = _scaled(second.value, unit.unit)
    return unit.end, tuple(_nominal(reading, -tolerance, tolerance) for reading in readings)


def _numeric(
    text: str, start: int, default: Unit | None, decimal: Decimal | None
) -> tuple[int, tuple[Quantity, ...]] | None:
    """The readings under each decimal sign that is possible."""
    flags: list[bool] = []
    first = _measured(text, start, default, decimal, flags)
    if first is None or not any(flags):
        return (first[0], (first[1],)) if first else None
    signs: tuple[Decimal, Decimal] = (",", ".")
    both = [_measured(text, start, default, sign, []) for sign in signs]
    read = [one for one in both if one is not None]
    end = max(one[0] for one in read)
    return end, tuple(dict.fromkeys(one[1] for one in read if one[0] == end))


def _measured(
    text: str, start: int, default: Unit | None, decimal: Decimal | None, flags: list[bool]
) -> tuple[int, Quantity] | None:
    """Number and unit with range, uncertainty or tolerance; `flags` collects which numbers are ambiguous."""
    bracket = text.startswith("(", start)
    number = read_number(text, start + bracket, decimal)
    if number is None:
        return None
    digits = _LAST_DIGITS.match(text, number.end)
    position = digits.end() if digits else number.end
    unit = match_unit(text, position)
    position = unit.end if unit else position
    flags.append(number.ambiguous)
    if digits is None:
        joined = _joined(text, position, number, unit, default, decimal, flags, bracket)
        if joined is not None or bracket:
            return joined
    if unit is None:
        if default is None:
            return None
        unit = UnitMatch(default, "", position)
    return _alone(text, number, digits[1] if digits else "", unit)


def _alone(text: str, number: Number, digits: str, unit: UnitMatch) -> tuple[int, Quantity]:
    quantity = _quantity(number.value, unit)
    if digits:
        # GUM 7.2.2, form 2: the figures in brackets count in the last digits of the value.
        return unit.end, replace(quantity, u=_scaled(float(f"{digits}e{number.places}"), unit.unit))
    tolerance = match_tolerance(text, unit.end)
    if tolerance is not None:
        return tolerance[2], _nominal(quantity, tolerance[0], tolerance[1])
    return unit.end, quantity


def _joined(
    text: str,
    end: int,
    first: Number,
    unit: UnitMatch | None,
    default: Unit | None,
    decimal: Decimal | None,
    flags: list[bool],
    bracket: bool,
) -> tuple[int, Quantity] | None:
    """`100-240 V`, `25.8 ± 0.3 µF`, `(25.8 ± 0.3) µF`, `27 µF ±20 %`."""
    dash = _RANGE.match(text, end if unit is None else _before_form(text, unit))
    plus_minus = _PLUS_MINUS.match(text, end) if dash is None or bracket else None
    sign = plus_minus or dash
    second = read_number(text, sign.end(), decimal) if sign else None
    if second is None:
        return None
    position = second.end
    if bracket:
        if not text.startswith(")", position) or plus_minus is None:
            return None
        position += 1
    flags.append(second.ambiguous)
    unit2 = match_unit(text, position)
    if unit is None and unit2 is None and default is not None:
        unit2 = UnitMatch(default, "", position)
    if plus_minus is not None:
        return _plus_minus(text, first, unit, second, unit2, position)
    return _interval(first, unit, second, unit2)


def _before_form(text: str, unit: UnitMatch) -> int:
    """Where a range dash may stand: `100V~240V` has its `~` read as a form already."""
    return unit.end - 1 if unit.form and text[unit.end - 1] in "~∼-—" else unit.end


def _interval(
    first: Number, unit: UnitMatch | None, second: Number, unit2: UnitMatch | None
) -> tuple[int, Quantity] | None:
    if unit2 is None:
        return None
    if unit is not None and unit.unit.si != unit2.unit.si:
        return None
    unit = unit or unit2
    low, high = _scaled(first.value, unit.unit), _scaled(second.value, unit2.unit)
    if low >= high:
        return None
    quantity = _quantity(0.0, unit2)
    return unit2.end, replace(quantity, value=(low + high) / 2, low=low, high=high, sense="within")


def _plus_minus(
    text: str, first: Number, unit: UnitMatch | None, second: Number, unit2: UnitMatch | None, end: int
) -> tuple[int, Quantity] | None:
    main = unit or unit2
    if main is None:
        return None
    width_unit = unit2.unit if unit2 else main.unit
    end = unit2.end if unit2 else end
    k, end = match_coverage(text, end)
    quantity = _quantity(first.value, main)
    if width_unit.si == "1" and main.unit.si != "1":
        fraction = _scaled(second.value, width_unit)
        if k is None:
            return end, _nominal(quantity, -fraction, fraction)
        return end, replace(quantity, u=abs(quantity.value) * fraction / k)
    if width_unit.si not in (main.unit.si, "K" if main.unit.si == "degC" else ""):
        return None
    note = () if k else ("± without a coverage factor was read as one standard uncertainty.",)
    width = _scaled(second.value, Unit(width_unit.si, width_unit.factor)) / (k or 1.0)
    return end, replace(quantity, u=width, notes=quantity.notes + note)


def _quantity(number: float, unit: UnitMatch) -> Quantity:
    notes = (unit.unit.note,) if unit.unit.note else ()
    return Quantity(_scaled(number, unit.unit), unit.unit.si, form=unit.form, notes=notes)


def _nominal(quantity: Quantity, below: float, above: float) -> Quantity:
    value = quantity.value
    return replace(quantity, low=value * (1 + below), high=value * (1 + above), sense="nominal")


def _scaled(number: float, unit: Unit) -> float:
    """A number of `unit` in SI; a power of ten is shifted, not multiplied, so that `0.1 µF` is exactly 0.1e-6."""
    power = _power_of_ten(unit.factor)
    if power is not None:
        return float(exact.Decimal(repr(number)).scaleb(power)) + unit.offset
    return number * unit.factor + unit.offset


@lru_cache(maxsize=256)
def _power_of_ten(factor: float) -> int | None:
    power = round(math.log10(factor))
    return power if math.isclose(10.0**power, factor, rel_tol=1e-12) else None


def _qualified(reading: Quantity, sense: Sense | None, note: str, said: str) -> Quantity:
    notes = (*reading.notes, note) if note else reading.notes
    reading = replace(reading, text=said, notes=notes)
    if sense is None or sense == "equals" or reading.sense != "equals":
        return reading
    low = reading.value if sense == "at least" else None
    high = reading.value if sense == "at most" else None
    return replace(reading, sense=sense, low=low, high=high)


def _of_dimension(readings: tuple[Quantity, ...], unit: str | None) -> tuple[Quantity, ...]:
    expected = known_unit(unit) if unit else None
    return readings if expected is None else tuple(one for one in readings if one.unit == expected.si)
