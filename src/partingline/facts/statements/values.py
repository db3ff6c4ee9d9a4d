"""A quantity as written becomes a value with named uncertainty components."""

import re
from dataclasses import dataclass

from partingline.model import Component, Interval, Key, Number, Sense, Shape, Text, Value
from partingline.readers.logs.accuracy import Accuracy
from partingline.readers.quantities import Quantity, QuantityError, parse_quantity
from partingline.sources import quantities

BORNE = frozenset(
    {
        "rated_voltage", "rated_ac_voltage", "rated_current", "rated_temperature", "rated_life", "rated_ripple_current",
        "breaking_capacity", "surge_current", "melting_i2t", "isolation_voltage", "max_junction_temperature",
    }
)  # fmt: skip
"""What a part bears at least, as its maker says."""

YES_NO = frozenset({
    "dedicated_charging_port", "charging_downstream_port", "slope_compensation", "data_line_divider",
    "voltage_on_request",
})  # fmt: skip
"""Handshakes: a port answers or does not."""

_FIRST_NUMBER = re.compile(r"\d+(?:[.,](\d+))?")
_PARSE_UNIT = {"degC": "°C", "text": None}


@dataclass(frozen=True, slots=True)
class ReadValue:
    """A value with its sense and what was assumed on reading it."""

    value: Value
    sense: Sense
    note: str = ""


def read_value(
    text: str,
    key: Key,
    *,
    decimal_comma: bool = False,
    instrument: str = "",
    accuracy: Accuracy | None = None,
    rating: bool = False,
    exact: bool = False,
) -> ReadValue:
    """A text as a value of the key's quantity; ValueError says what was expected.

    The uncertainty is, in this order: what the text states, the instrument's accuracy statement, half the last digit.
    A `rating` is a printed figure without uncertainty; one that a part must bear is `at least`. An `exact` figure is
    one that somebody sets: its last digit is no reading.
    """
    known = quantities().get(key.quantity)
    if known is None:
        raise ValueError(f"unknown quantity {key.quantity!r}")
    if key.quantity in YES_NO and text.strip().casefold() not in ("yes", "no"):
        raise ValueError(f"{text!r}: {known.name} is yes or no")
    if known.is_text:
        return ReadValue(Text(text.strip()), Sense.EQUALS)
    try:
        quantity = parse_quantity(
            text, unit=_PARSE_UNIT.get(known.unit, known.unit), decimal="," if decimal_comma else None
        )
    except QuantityError as error:
        raise ValueError(str(error)) from None
    if rating and quantity.sense == "equals":
        return ReadValue(Number(quantity.value), Sense.AT_LEAST if key.quantity in BORNE else Sense.EQUALS)
    return from_quantity(quantity, key, instrument=instrument, accuracy=accuracy, exact=exact)


def from_quantity(
    quantity: Quantity, key: Key, *, instrument: str = "", accuracy: Accuracy | None = None, exact: bool = False
) -> ReadValue:
    """A read quantity as a value with components; an interval stays one."""
    sense, notes = Sense(quantity.sense), list(quantity.notes)
    if sense is Sense.WITHIN and quantity.low is not None and quantity.high is not None:
        return ReadValue(Interval(quantity.low, quantity.high), sense, " ".join(notes))
    if sense is Sense.NOMINAL:
        half = max(abs(bound - quantity.value) for bound in (quantity.low, quantity.high) if bound is not None)
        tolerance = Component(f"tolerance:{key.id}", half, Shape.RECTANGULAR)
        return ReadValue(Number(quantity.value, (tolerance,)), sense, " ".join(notes))
    if sense in (Sense.AT_LEAST, Sense.AT_MOST):
        return ReadValue(Number(quantity.value), sense, " ".join(notes))
    components: tuple[Component, ...] = ()
    if quantity.u:
        components = (Component(f"reading:{key.id}:{instrument}", quantity.u),)
    elif accuracy is not None:
        components = accuracy.components(quantity.value, f"{instrument}/{key.quantity}", last_digit(quantity))
    elif (step := last_digit(quantity)) and not exact:
        components = (Component(f"last digit:{key.id}", step / 2, Shape.RECTANGULAR),)
        notes.append("No uncertainty is told; half the last digit is taken.")
    return ReadValue(Number(quantity.value, components), sense, " ".join(notes))


def last_digit(quantity: Quantity) -> float:
    """The size of the last written digit in SI units; 0 where the text shows no plain number."""
    match = _FIRST_NUMBER.search(quantity.text)
    if match is None:
        return 0.0
    number = float(match.group().replace(",", "."))
    shift = 0.0 if quantity.unit != "degC" else quantity.value - number
    scale = (quantity.value - shift) / number if number else 0.0
    return abs(scale) * 10.0 ** -len(match.group(1) or "")
