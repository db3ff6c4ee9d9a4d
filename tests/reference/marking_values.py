"""Reference values of part markings, read by the marking schemes."""

from datetime import date
from typing import Any

from partingline.readers.markings import Said, decode_marking

Inputs = dict[str, Any]


def _said(text: str, schemes: tuple[str, ...], quantity: str) -> Said:
    """What the first of the schemes that reads the text says of the quantity."""
    readings = decode_marking(text)
    for scheme in schemes:
        for reading in readings:
            said = reading.get(quantity)
            if reading.scheme == scheme and said is not None:
                return said
    raise LookupError(f"{text} is not read as {' or '.join(schemes)}")


def _value(quantity: str, *schemes: str) -> Any:
    return lambda inputs: _said(str(inputs["code"]), schemes, quantity).value


def _year_letter(inputs: Inputs) -> str:
    """The letter whose surest reading is the year, in this or another turn of the 20-year cycle."""
    found = [
        (reading.plausibility, letter)
        for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
        for reading in decode_marking(f"{letter}1")
        if reading.scheme == "iec60062-date" and (said := reading.get("date"))
        if said.day is not None and (said.day.year - inputs["year"]) % 20 == 0
    ]
    return max(found)[1]


def _month_code(inputs: Inputs) -> str:
    """The character that the date scheme reads as the month, behind the letter of 2020."""
    wanted = date(2020, inputs["month"], 1)
    for character in "123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ":
        for reading in decode_marking(f"M{character}"):
            said = reading.get("date")
            if reading.scheme == "iec60062-date" and said is not None and said.day == wanted:
                return character
    raise LookupError(f"no character is read as month {inputs['month']}")


def _tolerance(letter: str) -> Said:
    """The tolerance letter behind a film capacitor code; 100 nF is above the 10 pF where letters mean picofarads."""
    return _said(f"104{letter}", ("capacitor-code",), "tolerance")


def _symmetric(inputs: Inputs) -> float:
    return 1e2 * (_tolerance(inputs["letter"]).high or 0.0)


def _asymmetric(inputs: Inputs) -> list[float]:
    said = _tolerance(inputs["letter"])
    return [1e2 * (said.low or 0.0), 1e2 * (said.high or 0.0)]


def _class_1(inputs: Inputs) -> list[float]:
    said = _said(inputs["code"], ("eia-198-class-1",), "temperature_coefficient")
    centre, low = said.value or 0.0, said.low or 0.0
    return [1e6 * centre, 1e6 * (centre - low)]


def _class_2(inputs: Inputs) -> list[float]:
    span = _said(inputs["code"], ("eia-198-class-2",), "temperature_range")
    change = _said(inputs["code"], ("eia-198-class-2",), "capacitance_change")
    return [span.low or 0.0, span.high or 0.0, 1e2 * (change.low or 0.0), 1e2 * (change.high or 0.0)]


MARKINGS = {
    "eia96_resistor_ohm": _value("resistance", "eia-96"),
    "smd_resistor_ohm": _value("resistance", "resistor-digits", "iec60062-rkm"),
    "rkm_resistor_ohm": _value("resistance", "iec60062-rkm"),
    "rkm_capacitor_f": _value("capacitance", "iec60062-rkm-capacitor"),
    "capacitor_code_f": _value("capacitance", "capacitor-code"),
    "inductor_code_h": _value("inductance", "inductor-code"),
    "eia198_class1_code": _class_1,
    "eia198_class2_code": _class_2,
    "iec60062_year_letter": _year_letter,
    "iec60062_month_code": _month_code,
    "tolerance_letter_percent": _symmetric,
    "tolerance_letter_asym_percent": _asymmetric,
    "jis_eia_voltage_code_v": lambda i: _said(f"{i['code']}104J", ("capacitor-code",), "rated_voltage").value,
}
