"""Varistor discs: diameter in mm, D, voltage at 1 mA as digits and a power of ten. 10D471K = 470 V ±10 %."""

import re
from collections.abc import Iterator

from partingline.readers.markings.types import Found, Said, Scheme

_CODE = re.compile(r"(?:(\d{1,2})[DN] ?)?([1-9]\d)([01])([JKLM])(?: ?D(\d{1,2}))?(?: (.*))?")
_WIDTH = {"J": 0.05, "K": 0.10, "L": 0.15, "M": 0.20}


def read(text: str) -> Iterator[Found]:
    """`10D471K`, `471KD07`, `471K`."""
    match = _CODE.fullmatch(text)
    if match is None:
        return
    value, width = float(f"{match[2]}e{match[3]}"), _WIDTH[match[4]]
    diameter = match[1] or match[5]
    said = [
        Said("varistor_voltage", value, "V", value * (1 - width), value * (1 + width), condition="at 1 mA"),
        Said("tolerance", width, "1", -width, width),
    ]
    if diameter:
        said.append(Said("diameter", float(diameter) / 1000, "m"))
    yield Found("varistor", tuple(said), 0.9 if diameter else 0.3, unread=match[6] or "")


SCHEME = Scheme("varistor-disc", "varistor marking", "common practice, no source", "P", read)
