"""Class I ceramics: temperature coefficient. C0G = 0 ±30 ppm/K, U2J = -750 ±120 ppm/K."""

import re
from collections.abc import Iterator

from partingline.readers.markings.types import Found, Said, Scheme

_DIGITS = {
    "C": 0.0, "B": 0.3, "L": 0.8, "A": 0.9, "M": 1.0, "P": 1.5, "R": 2.2, "S": 3.3, "T": 4.7, "V": 5.6,
    "U": 7.5,
}  # fmt: skip
_FACTOR = {"0": -1.0, "1": -10.0, "2": -100.0, "3": -1000.0, "4": 1.0, "6": 10.0, "7": 100.0, "8": 1000.0}
_WIDTH = {"G": 30.0, "H": 60.0, "J": 120.0, "K": 250.0, "L": 500.0, "M": 1000.0, "N": 2500.0}
_CODE = re.compile(r"([CBLAMPRSTVU])([0-4678])([GHJKLMN])")
_SAME = {"NP0": "C0G", "NPO": "C0G", "COG": "C0G"}


def read(text: str) -> Iterator[Found]:
    """`C0G`, `NP0`, `U2J`."""
    code = _SAME.get(text, text)
    match = _CODE.fullmatch(code)
    if match is None:
        return
    centre = _DIGITS[match[1]] * _FACTOR[match[2]] + 0.0
    width = _WIDTH[match[3]]
    coefficient = Said(
        "temperature_coefficient",
        centre * 1e-6 + 0.0,
        "1/K",
        (centre - width) * 1e-6,
        (centre + width) * 1e-6,
    )
    notes = (f"{text} is another name of {code}.",) if code != text else ()
    likely = 0.9 if code == "C0G" else 0.5
    yield Found("capacitor", (Said("dielectric", words=code), coefficient), likely, "ceramic", notes=notes)


SCHEME = Scheme("eia-198-class-1", "class I ceramic characteristic", "EIA-198 class I; two maker tables", "S2", read)
