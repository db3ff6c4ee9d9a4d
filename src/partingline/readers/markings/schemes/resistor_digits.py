"""Chip resistors: two or three digits and a power of ten. 103 = 10 kΩ, 4992 = 49.9 kΩ, 000 = jumper."""

import re
from collections.abc import Iterator

from partingline.readers.markings.preferred import is_preferred
from partingline.readers.markings.types import Found, Said, Scheme

_CODE = re.compile(r"(\d{2,3})(\d)")
_UNDERLINED = "Underlined digits often mean a value below 1 Ω, times a thousandth."


def read(text: str) -> Iterator[Found]:
    """`103`, `4992`, `0`, `000`."""
    if text in ("0", "000", "0000"):
        yield Found("resistor", (Said("resistance", 0.0, "Ω"),), 0.9)
        return
    match = _CODE.fullmatch(text)
    if match is None or match[1].startswith("0"):
        return
    value = float(f"{match[1]}e{match[2]}")
    likely = 0.1 if value > 22e6 else 0.8 if is_preferred(match[1]) else 0.4
    notes = (_UNDERLINED,) if len(text) == 3 else ()
    yield Found("resistor", (Said("resistance", value, "Ω"),), likely, notes=notes)


SCHEME = Scheme("resistor-digits", "three- and four-digit resistor code", "EIA 3/4-digit convention", "S2", read)
