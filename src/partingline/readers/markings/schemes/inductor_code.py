"""Inductors: two digits and a power of ten in microhenries: 101 = 100 µH.

R is the decimal point in µH, N in nH: 4R7 = 4.7 µH, 47N = 47 nH.
"""

import re
from collections.abc import Iterator

from partingline.readers.markings.letters import nominal
from partingline.readers.markings.types import Found, Scheme

_DIGITS = re.compile(r"([1-9]\d)([0-5])([JKLMN])?")
_POINT = re.compile(r"(\d{0,3})([RN])(\d{0,2})([JKMN])?")


def read(text: str) -> Iterator[Found]:
    """`100`, `4R7M`, `R47`, `47N`."""
    digits, point = _DIGITS.fullmatch(text), _POINT.fullmatch(text)
    if digits is not None:
        value, letter, likely = float(f"{digits[1]}e{int(digits[2]) - 6}"), digits[3] or "", 0.4
    elif point is not None and point[1] + point[3]:
        power = -6 if point[2] == "R" else -9
        value = float(f"{point[1] or '0'}.{point[3] or '0'}e{power}")
        letter, likely = point[4] or "", 0.5 if point[2] == "R" else 0.6
    else:
        return
    said = nominal("inductance", value, "H", letter) if value > 0 and letter != "L" else None
    if said is not None:
        yield Found("inductor", said, likely)


SCHEME = Scheme("inductor-code", "microhenry code", "EIA inductor code", "M", read)
