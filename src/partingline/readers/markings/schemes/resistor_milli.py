"""Current-sense resistors on which M (or m) is milli: 5M0 = 5 mΩ."""

import re
from collections.abc import Iterator

from partingline.readers.markings.types import Found, Said, Scheme

_CODE = re.compile(r"(\d{1,3})([Mm])(\d{0,3})")


def read(text: str) -> Iterator[Found]:
    """`5M0`, `10m`."""
    match = _CODE.fullmatch(text)
    if match is None:
        return
    value = float(f"{match[1]}.{match[3] or '0'}e-3")
    likely = 0.7 if match[2] == "m" else 0.4
    yield Found("resistor", (Said("resistance", value, "Ω"),), likely, "current-sense resistor")


SCHEME = Scheme("resistor-milli", "M for milliohm (current sense)", "common practice on current-sense parts", "P", read)
