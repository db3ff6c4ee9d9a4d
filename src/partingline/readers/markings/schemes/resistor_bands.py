"""Colour bands, told as words from the end where they crowd: `yellow violet red gold` = 4.7 kΩ ±5 %."""

import re
from collections.abc import Iterator

from partingline.readers.markings.types import Found, Said, Scheme

_COLOURS = ("black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white")
_DIGIT = {colour: digit for digit, colour in enumerate(_COLOURS)} | {"purple": 7, "gray": 8}
_POWER = _DIGIT | {"gold": -1, "silver": -2}
_TOLERANCE = {
    "brown": 0.01, "red": 0.02, "green": 0.005, "blue": 0.0025, "violet": 0.001, "purple": 0.001,
    "gold": 0.05, "silver": 0.10,
}  # fmt: skip
_PPM = {"brown": 100.0, "red": 50.0, "orange": 15.0, "yellow": 25.0, "blue": 10.0, "violet": 5.0}


def read(text: str) -> Iterator[Found]:
    """Three to six colour names; read from the other end too, where that is possible."""
    bands = [band for band in re.split(r"[\s,/-]+", text.lower()) if band]
    if not 3 <= len(bands) <= 6 or not all(band in _POWER for band in bands):
        return
    for order, likely in ((bands, 0.9), (bands[::-1], 0.5)):
        said = _bands(order)
        if said:
            note = () if order is bands else ("Read from the other end.",)
            yield Found("resistor", said, likely, notes=note)


def _bands(bands: list[str]) -> tuple[Said, ...]:
    """Empty where the colours make no value in this order."""
    count = 2 if len(bands) < 5 else 3
    digits, power, rest = bands[:count], bands[count], bands[count + 1 :]
    if any(band not in _DIGIT for band in digits) or (rest and rest[0] not in _TOLERANCE):
        return ()
    if digits[0] == "black" or (len(rest) > 1 and rest[1] not in _PPM):
        return ()
    width = _TOLERANCE[rest[0]] if rest else 0.20
    value = float("".join(str(_DIGIT[band]) for band in digits) + f"e{_POWER[power]}")
    said: tuple[Said, ...] = (
        Said("resistance", value, "Ω", value * (1 - width), value * (1 + width)),
        Said("tolerance", width, "1", -width, width),
    )
    if len(rest) > 1:
        ppm = _PPM[rest[1]] * 1e-6
        said += (Said("temperature_coefficient", None, "1/K", -ppm, ppm),)
    return said


SCHEME = Scheme("colour-bands", "colour bands", "IEC 60062 colour code", "M", read)
