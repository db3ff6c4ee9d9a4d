"""Accuracy statements of instruments: `0.05 % rdg + 0.02 % of 100 W`, `0.1 % + 2 digits`, `± 0.5 K`, `1 % (k=2)`.

Source: JCGM 100:2008, 4.3.7 (bounds without a stated level of confidence are the half-widths of a rectangle) and 4.3.4
(a stated coverage factor is divided out). A share of the reading moves all readings of the instrument together, and so
does an offset: both carry a cause that names instrument and quantity, never the reading.
"""

import re
from dataclasses import dataclass

from partingline.model import Component, Shape
from partingline.readers.quantities.units import find_unit

_NUMBER = r"(\d+(?:[.,]\d+)?(?:[eE][+-]?\d+)?|[.,]\d+)"
_UNIT = r"([^\s\d()+±]+(?:/[^\s\d()+±]+)?)"
_K = re.compile(r"[,;]?\s*\(?\s*\bk\s*=\s*" + _NUMBER + r"\s*\)?", re.IGNORECASE)
_READING = re.compile(
    _NUMBER + r"\s*(%|‰|ppm)\s*(?:of\s+)?(?:the\s+)?(?:rdg\.?|reading|rd|r|value|v\.?\s?M\.?)?$", re.IGNORECASE
)
_RANGE_WORDS = r"(?:range|rng|rg|full\s?scale|fullscale|fs|f\.s\.|span)"
_RANGE = re.compile(
    _NUMBER
    + r"\s*(%|‰|ppm)\s*(?:(?:of\s+)?(?:the\s+)?"
    + _RANGE_WORDS
    + r"\s*)?(?:of\s+|\(\s*)?"
    + _NUMBER
    + r"\s*"
    + _UNIT
    + r"\s*"
    r"(?:" + _RANGE_WORDS + r")?\s*\)?$",
    re.IGNORECASE,
)
_BARE_RANGE = re.compile(_NUMBER + r"\s*(%|‰|ppm)\s*(?:of\s+)?(?:the\s+)?" + _RANGE_WORDS + "$", re.IGNORECASE)
_DIGITS = re.compile(_NUMBER + r"\s*(?:digits?|dgts?|dgt\.|counts?|cts?|lsds?|d)$", re.IGNORECASE)
_FIXED = re.compile(_NUMBER + r"\s*" + _UNIT + "$")
_PER_KELVIN = re.compile(
    _NUMBER + r"\s*(%|‰|ppm)\s*(?:of\s+)?(?:rdg\.?|reading|rd)?\s*/\s*(?:K|°C|C)"
    r"(?:\s*(?:outside|beyond)\s*" + _NUMBER + r"\s*(?:°C)?\s*(?:to|–|-|…)\s*" + _NUMBER + r"\s*°?C?)?$",
    re.IGNORECASE,
)
_SHARE = {"%": 1e-2, "‰": 1e-3, "ppm": 1e-6}


class AccuracyError(ValueError):
    """A text that is no accuracy statement: which part, and what was expected."""


ROOM_C = (18.0, 28.0)
"""The room in which accuracy statements hold without a temperature coefficient: 23 ± 5 °C (common practice)."""


@dataclass(frozen=True, slots=True)
class Accuracy:
    """An accuracy statement in SI units.

    gain: half-width as a share of the reading. offset: fixed half-width. digits: number of last digits. k: stated
    coverage factor, None where the maker states bounds only.
    """

    gain: float = 0.0
    offset: float = 0.0
    digits: float = 0.0
    k: float | None = None
    text: str = ""
    per_kelvin: float = 0.0
    room_c: tuple[float, float] = ROOM_C

    def half_width(self, reading: float, step: float = 0.0, ambient_c: float | None = None) -> float:
        """The bound on the error of a reading in SI units; `step` is the size of the last digit."""
        return self._gain(ambient_c) * abs(reading) + self.offset + self.digits * step

    def _gain(self, ambient_c: float | None) -> float:
        low, high = self.room_c
        outside = 0.0 if ambient_c is None else max(0.0, low - ambient_c, ambient_c - high)
        return self.gain + self.per_kelvin * outside

    def components(
        self, reading: float, cause: str, step: float = 0.0, ambient_c: float | None = None
    ) -> tuple[Component, ...]:
        """Components of a reading: `CAUSE/gain` and `CAUSE/offset`, each shared by all readings of that cause.

        ambient_c: the room in °C, where it is known; else it is taken to lie within `room_c`.
        """
        shape = Shape.RECTANGULAR if self.k is None else Shape.NORMAL
        divisor = self.k or 1.0
        widths = {"gain": self._gain(ambient_c) * reading, "offset": self.offset + self.digits * step}
        return tuple(Component(f"{cause}/{name}", width / divisor, shape) for name, width in widths.items() if width)


def parse_accuracy(text: str, unit: str) -> Accuracy:
    """An accuracy statement on a quantity of the given SI unit (`degC` for temperatures).

    Raises AccuracyError, which names the part that was not understood and what was expected.
    """
    rest = text.replace("\N{NO-BREAK SPACE}", " ").replace("+/-", "±").replace("+-", "±").strip()
    stated = _K.search(rest)
    k = _number(stated.group(1)) if stated else None
    if k is not None and k <= 0:
        raise AccuracyError(f"{text!r}: the coverage factor must be above 0")
    rest = _K.sub("", rest).strip().lstrip("±").strip()
    rest = rest[1:-1] if rest.startswith("(") and rest.endswith(")") else rest
    gain = offset = digits = per_kelvin = 0.0
    room = ROOM_C
    for term in _terms(rest):
        if match := _PER_KELVIN.match(term):
            per_kelvin += _number(match.group(1)) * _SHARE[match.group(2).lower()]
            room = (_number(match.group(3)), _number(match.group(4))) if match.group(3) else room
            continue
        kind, amount = _term(term, unit, text)
        gain += amount if kind == "gain" else 0.0
        offset += amount if kind == "offset" else 0.0
        digits += amount if kind == "digits" else 0.0
    return Accuracy(gain, offset, digits, k, text, per_kelvin, room)


def _terms(text: str) -> list[str]:
    return [term.strip() for term in re.split(r"(?<![eE])\+|±|;|\band\b", text) if term.strip()] or [""]


def _term(term: str, unit: str, text: str) -> tuple[str, float]:
    if match := _DIGITS.match(term):
        return "digits", _number(match.group(1))
    if match := _READING.match(term):
        return "gain", _number(match.group(1)) * _SHARE[match.group(2).lower()]
    if match := _RANGE.match(term):
        share = _number(match.group(1)) * _SHARE[match.group(2).lower()]
        return "offset", share * _fixed(match.group(3), match.group(4), unit, text)
    if _BARE_RANGE.match(term):
        raise AccuracyError(f"{text!r}: {term!r} needs the range; write it as '0.02 % of 100 {_shown(unit)}'")
    if match := _FIXED.match(term):
        return "offset", _fixed(match.group(1), match.group(2), unit, text)
    shown = _shown(unit)
    example = f"'0.05 % rdg + 0.02 % of 100 {shown}', '0.1 % + 2 digits', '± 0.5 {shown}', '1 % (k=2)' or '0.005 %/K'"
    raise AccuracyError(f"{text!r}: {term!r} is no part of an accuracy statement; expected one such as {example}")


def _fixed(number: str, unit_text: str, unit: str, text: str) -> float:
    """An amount in the SI unit of the quantity; for temperatures a difference, whether written K or °C."""
    known = find_unit(unit_text)
    if known is None:
        raise AccuracyError(f"{text!r}: unknown unit {unit_text!r}; expected {_shown(unit)}, with or without a prefix")
    temperature = {"degC", "K"}
    if known.si != unit and not {known.si, unit} <= temperature:
        raise AccuracyError(f"{text!r}: {unit_text} does not fit; expected {_shown(unit)}, with or without a prefix")
    return _number(number) * known.factor


def _shown(unit: str) -> str:
    return {"degC": "K", "1": "%"}.get(unit, unit)


def _number(text: str) -> float:
    return float(text.replace(",", "."))
