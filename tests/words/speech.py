"""How people say figures, and how captioners and speakers get them wrong: the corpus's own voice.

Number words come from num2words, a general library; nothing of Partingline is used. Every choice is seeded.
"""
# ruff: noqa: E501

import random
from dataclasses import dataclass

from num2words import num2words

_UNIT = {
    "V": "volt", "A": "amp", "W": "watt", "Hz": "hertz", "mm": "millimetre", "g": "gram", "%": "percent", "°C": "degree",
    "µF": "microfarad", "nF": "nanofarad", "mF": "millifarad", "F": "farad", "Ω": "ohm", "mΩ": "milliohm", "MΩ": "megohm",
    "kΩ": "kilohm", "mH": "millihenry", "µH": "microhenry", "kV": "kilovolt", "mV": "millivolt", "mW": "milliwatt", "h": "hour",
    "kHz": "kilohertz", "µV": "microvolt", "MV": "megavolt", "mA": "milliamp", "kg": "kilogram", "cm": "centimetre", "µH ": "",
    "kA": "kiloamp", "pF": "picofarad", "kW": "kilowatt", "MHz": "megahertz", "µΩ": "microohm", "H": "henry",
}  # fmt: skip
_PLURAL = {"henry": "henries", "hertz": "hertz", "percent": "percent", "millihenry": "millihenries", "microhenry": "microhenries",
           "kilohertz": "kilohertz", "megahertz": "megahertz"}  # fmt: skip
SLIPS = {
    "mΩ": ("mil ohms", "milli homes", "mill ohms"), "V": ("vaults", "bolts"), "Hz": ("hurts", "hearts"), "µF": ("micro fared", "mike row farads", "mics"),
    "kHz": ("kilo hurts", "killer hertz"), "W": ("whats",), "mW": ("mill watts", "milli whats"), "mm": ("milli meters", "mills"),
    "Ω": ("homes", "oms"), "mV": ("mill volts", "milli vaults"), "nF": ("nano fared", "nanno farads"), "µH": ("micro hen rees", "mike row henries"),
    "MΩ": ("mega homes", "meg ohms"), "kV": ("killer volts", "k v"), "A": ("amp's", "ams"), "%": ("per cent", "per sent"),
}  # fmt: skip
"""Only shapes: the same word may stand for several units in other talk."""
WRONG_UNITS = {
    "µF": ("mF", "nF", "µH"), "nF": ("mF", "µF"), "V": ("mV", "A"), "A": ("mA", "V"), "Hz": ("V", "kHz"), "Ω": ("V", "kΩ"), "mΩ": ("mV", "Ω"),
    "MΩ": ("MV", "kΩ"), "mH": ("µH", "mF"), "µH": ("mH", "µF"), "W": ("mW", "V"), "kV": ("V", "mV"), "mm": ("cm", "µH"), "g": ("kg",),
    "kHz": ("Hz", "MHz"), "mW": ("W", "mV"), "mV": ("V", "mW"), "h": ("°C",), "%": ("V",), "°C": ("%",),
}  # fmt: skip
_SOUNDS = {"B": "DPV", "D": "BTP", "P": "BTD", "T": "DP", "M": "N", "N": "M", "S": "F", "F": "S", "C": "Z", "Z": "C", "G": "J",
           "V": "B", "K": "J", "X": "S", "H": "A", "L": "O", "R": "A", "W": "U"}  # fmt: skip


@dataclass
class Voice:
    """A speaker with a style (words, digits, mixed) and a captioner who mishears a share of the units."""

    draw: random.Random
    style: str
    captioned: bool

    def number(self, value: float) -> tuple[str, bool]:
        """A number as said, and whether in words."""
        in_words = self.style == "words" or (self.style == "mixed" and self.draw.random() < 0.5)
        text = f"{value:g}"
        if not in_words:
            return (f"{value:,g}" if value >= 1000 and self.draw.random() < 0.5 else text), False
        return self._words(value, text), True

    def _words(self, value: float, text: str) -> str:
        way = self.draw.random()
        whole = int(value)
        if value in (0.5, 0.25) and way < 0.3:
            return "half a" if value == 0.5 else "a quarter of a"
        if "." in text:
            digits = text.split(".")[1]
            if digits == "5" and whole and way < 0.3:
                return f"{num2words(whole)} and a half"
            if digits == "25" and whole and way < 0.4:
                return f"{num2words(whole)} and a quarter"
            tail = " ".join(num2words(int(d)) if d != "0" else "oh" for d in digits)
            if len(digits) == 2 and digits[0] != "0" and way > 0.7:
                tail = num2words(int(digits))
            head = "" if whole == 0 and way < 0.5 else num2words(whole) + " "
            return f"{head}point {tail}"
        if 100 < whole < 1000 and whole % 100 >= 10 and way < 0.4:
            return f"{num2words(whole // 100)} {num2words(whole % 100)}"
        if 1000 < whole < 10000 and whole % 100 == 0 and whole % 1000 and way < 0.5:
            return f"{num2words(whole // 100)} hundred"
        said = num2words(whole)
        return said.replace(" and ", " ") if way < 0.6 else said

    def unit(self, shown: str, single: bool, in_words: bool) -> str:
        """A unit as said, or as the captioner heard it."""
        if self.captioned and shown in SLIPS and self.draw.random() < 0.12:
            return self.draw.choice(SLIPS[shown])
        if not in_words and self.draw.random() < 0.6:
            return shown
        name = _UNIT[shown]
        if shown == "°C":
            return "degree" if single else self.draw.choice(("degrees", "degrees celsius"))
        return name if single else _PLURAL.get(name, name + "s")

    def quantity(self, value: float, shown: str, single: bool = False) -> str:
        """Number and unit."""
        number, in_words = self.number(value)
        unit = self.unit(shown, single or number in ("half a", "a quarter of a"), in_words)
        gap = "-" if single and not in_words and len(unit) > 2 and self.draw.random() < 0.3 else " "
        return f"{number}{'' if len(unit) <= 2 and self.draw.random() < 0.3 and not in_words else gap}{unit}"

    def code(self, text: str) -> str:
        """A part number read aloud, or written."""
        if self.style == "digits" or self.draw.random() < 0.3:
            return text
        out: list[str] = []
        digits = ""
        for character in text + " ":
            if character.isdigit():
                digits += character
                continue
            if digits:
                spelled = (
                    num2words(int(digits))
                    if len(digits) == 2 and self.draw.random() < 0.6
                    else " ".join(num2words(int(d)) for d in digits)
                )
                out.append(spelled if self.style != "mixed" or self.draw.random() < 0.5 else digits)
                digits = ""
            out.append(character.lower() if self.captioned else character)
        return " ".join(word for word in out if word.strip())

    def misheard(self, text: str) -> str:
        """A part number with one or two letters that sound alike."""
        places = [n for n, c in enumerate(text) if c in _SOUNDS]
        chosen = self.draw.sample(places, min(len(places), self.draw.choice((1, 1, 2))))
        return "".join(self.draw.choice(_SOUNDS[c]) if n in chosen else c for n, c in enumerate(text))
