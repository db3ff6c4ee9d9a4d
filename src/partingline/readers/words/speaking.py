"""Numbers and units back to English words: for the reader of a script, and for a corrected caption."""

import re

_ONES = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
_TENS = ["zero", "ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_UNITS = {
    "V": "volts", "A": "amps", "W": "watts", "Ω": "ohms", "F": "farads", "H": "henries", "Hz": "hertz",
    "s": "seconds", "g": "grams", "m": "metres", "J": "joules", "%": "percent", "°C": "degrees Celsius",
    "mm": "millimetres", "cm³": "cubic centimetres", "cm²": "square centimetres", "min": "minutes", "h": "hours",
    "W/cm³": "watts per cubic centimetre", "A²s": "amps squared seconds", "kbit/s": "kilobits per second",
    "g/cm³": "grams per cubic centimetre", "µF/W": "microfarads per watt", "°": "degrees", "K": "kelvins", "": "",
}  # fmt: skip
_PREFIXES = {"p": "pico", "n": "nano", "µ": "micro", "m": "milli", "k": "kilo", "M": "mega", "G": "giga"}
_NUMBER = re.compile(r"[−-]?\d+(?:\.\d+)?")


def say_number(text: str) -> str:
    """A number as printed in words: `0.47` is `zero point four seven`. ValueError for what is no number."""
    plain = text.replace("−", "-")
    if not _NUMBER.fullmatch(plain):
        raise ValueError(f"{text!r} is no number such as 0.47")
    sign, plain = ("minus ", plain[1:]) if plain.startswith("-") else ("", plain)
    whole, _, fraction = plain.partition(".")
    said = sign + _whole(int(whole))
    return f"{said} point {' '.join(_ONES[int(digit)] for digit in fraction)}" if fraction else said


def say_unit(unit: str, *, one: bool = False) -> str:
    """A unit in words: `µF` is `microfarads`, `microfarad` with `one`."""
    said = _UNITS.get(unit)
    if said is None and unit[:1] in _PREFIXES and unit[1:] in _UNITS:
        said = _PREFIXES[unit[0]] + _UNITS[unit[1:]]
    if said is None:
        return unit
    return _singular(said) if one else said


def say_quantity(number: str, unit: str) -> str:
    """Number and unit in words: `zero point four seven microfarads`."""
    return f"{say_number(number)} {say_unit(unit, one=number == '1')}".rstrip()


def _singular(said: str) -> str:
    head, _, tail = said.partition(" ")
    head = {"henries": "henry", "hertz": "hertz", "percent": "percent"}.get(head, head.removesuffix("s"))
    return f"{head} {tail}".rstrip()


def _whole(number: int) -> str:
    if number < 20:
        return _ONES[number]
    if number < 100:
        ones = number % 10
        return _TENS[number // 10] + (f" {_ONES[ones]}" if ones else "")
    for size, name in ((1_000_000_000, "billion"), (1_000_000, "million"), (1000, "thousand"), (100, "hundred")):
        if number >= size:
            rest = number % size
            joint = " and " if size == 100 or rest < 100 else " "
            return f"{_whole(number // size)} {name}" + (joint + _whole(rest) if rest else "")
    raise AssertionError(number)
