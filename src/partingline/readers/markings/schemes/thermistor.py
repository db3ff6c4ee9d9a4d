"""Inrush limiters (NTC discs): resistance at 25 °C, D, diameter in mm. 5D-9 = 5 Ω, 9 mm."""

import re
from collections.abc import Iterator

from partingline.readers.markings.types import Found, Said, Scheme

_CODE = re.compile(r"(?:NTC ?)?(\d{1,3}(?:\.\d)?)D[ -]?(5|7|9|11|13|15|18|20|25)(?: (.*))?")


def read(text: str) -> Iterator[Found]:
    """`5D-9`, `NTC 10D-11`."""
    match = _CODE.fullmatch(text)
    if match is None:
        return
    said = (Said("cold_resistance", float(match[1]), "Ω"), Said("diameter", float(match[2]) / 1000, "m"))
    yield Found("thermistor", said, 0.9, unread=match[3] or "")


SCHEME = Scheme("ntc-disc", "inrush limiter marking", "common practice, no source", "P", read)
