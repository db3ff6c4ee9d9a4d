"""A resistance written out in ohms without any code: 100 = 100 Ω."""

import re
from collections.abc import Iterator

from partingline.readers.markings.types import Found, Said, Scheme

_NUMBER = re.compile(r"[1-9]\d{0,2}|0?\.\d{1,3}|[1-9]\d?\.\d{1,2}")


def read(text: str) -> Iterator[Found]:
    """`100`, `22`, `.05`."""
    if _NUMBER.fullmatch(text):
        likely = 0.3 if len(text) == 3 else 0.5
        yield Found("resistor", (Said("resistance", float(text), "Ω"),), likely)


SCHEME = Scheme("resistor-plain", "plain number of ohms", "common practice, no source", "P", read)
