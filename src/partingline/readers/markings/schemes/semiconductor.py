"""Semiconductors in small packages.

There is no worldwide standard: codes repeat between makers, each is a hint.
"""

import re
from collections.abc import Iterator

from partingline.readers.markings.types import Found, Said, Scheme

# code: (kind, what it usually is); from memory, common parts of many makers
_CODES = {
    "M1": ("diode", "rectifier like 1N4001 in SMA, 1 A 50 V"),
    "M4": ("diode", "rectifier like 1N4004 in SMA, 1 A 400 V"),
    "M7": ("diode", "rectifier like 1N4007 in SMA, 1 A 1000 V"),
    "T4": ("diode", "switching diode like 1N4148W, in SOD-123 or SOD-323"),
    "A4": ("diode", "double diode like BAV70, common cathode, SOT-23"),
    "A6": ("diode", "switching diode like BAS16, SOT-23"),
    "A7": ("diode", "double diode like BAV99, in series, SOT-23"),
    "1AM": ("transistor", "NPN like MMBT3904, SOT-23"),
    "2A": ("transistor", "PNP like MMBT3906, SOT-23"),
    "1P": ("transistor", "NPN like MMBT2222A, SOT-23"),
    "2F": ("transistor", "PNP like MMBT2907A, SOT-23"),
}
_SCHOTTKY = re.compile(r"S[SK](\d)(\d{1,2})L?")
_FAST = re.compile(r"(RS|US|ES|S)([1-5])([ABDGJKM])")
_FAST_NAMES = {
    "RS": "fast rectifier",
    "US": "ultrafast rectifier",
    "ES": "superfast rectifier",
    "S": "rectifier",
}
_REVERSE = {"A": 50.0, "B": 100.0, "D": 200.0, "G": 400.0, "J": 600.0, "K": 800.0, "M": 1000.0}
_NOTE = "Codes repeat between makers: confirm by package and measured behaviour. A band marks the cathode."


def read(text: str) -> Iterator[Found]:
    """`M7`, `SS34`, `RS1M`, `A7`."""
    known = _CODES.get(text)
    if known is not None:
        yield Found(known[0], (Said("part_number", words=known[1]),), 0.7, notes=(_NOTE,))
    schottky, fast = _SCHOTTKY.fullmatch(text), _FAST.fullmatch(text)
    if schottky is not None:
        yield _rectifier("Schottky diode", float(schottky[1]), 10.0 * int(schottky[2]))
    elif fast is not None:
        yield _rectifier(_FAST_NAMES[fast[1]], float(fast[2]), _REVERSE[fast[3]])


def _rectifier(name: str, amps: float, volts: float) -> Found:
    said = (
        Said("part_number", words=name),
        Said("rated_current", amps, "A"),
        Said("rated_voltage", volts, "V"),
    )
    return Found("diode", said, 0.85, notes=(_NOTE,))


SCHEME = Scheme("semiconductor-code", "small-package semiconductor code", "no standard; common parts", "M", read)
