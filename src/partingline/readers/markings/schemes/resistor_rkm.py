"""Resistors with a letter for the decimal point: 4R7, 47K3, R010, 4M7J. L = milliohm, R, K, M, G."""

import re
from collections.abc import Iterator

from partingline.readers.markings.letters import nominal
from partingline.readers.markings.preferred import is_preferred
from partingline.readers.markings.types import Found, Scheme

_CODE = re.compile(r"(\d{0,4})([LRKMGrk])(\d{0,4})([BCDFGHJKMNWPLE])?")
_POWER = {"L": -3, "R": 0, "K": 3, "M": 6, "G": 9}


def read(text: str) -> Iterator[Found]:
    """`4R7`, `R47`, `470R`, `47K3J`."""
    match = _CODE.fullmatch(text)
    if match is None or not match[1] + match[3]:
        return
    power = _POWER[match[2].upper()]
    value = float(f"{match[1] or '0'}.{match[3] or '0'}e{power}")
    said = nominal("resistance", value, "Ω", match[4] or "")
    if said is not None and value <= 100e9:
        # Three digits and a letter are more often a power-of-ten code with a tolerance: 474K.
        crowded = len(match[1]) == 3 and match[1][2] != "0"
        unusual = crowded or not is_preferred(match[1] + match[3]) or match[1] + match[3] in "123456789"
        yield Found("resistor", said, 0.4 if unusual and match[2] not in "LR" else 0.9)


SCHEME = Scheme(
    "iec60062-rkm", "letter for the decimal point (resistor)", "IEC 60062:2016+A1:2019, RKM code", "S2", read
)
