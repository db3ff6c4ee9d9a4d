"""EIA-96: two digits name one of the 96 values of E96, a letter the power of ten. 01A = 100 Ω, 68X = 49.9 Ω.

The value is computed, round(100 * 10^((n-1)/96)): the formula gives all 96 standard values; printed tables
have errors.
"""

import re
from collections.abc import Iterator

from partingline.readers.markings.letters import nominal
from partingline.readers.markings.types import Found, Scheme

_CODE = re.compile(r"(0[1-9]|[1-8]\d|9[0-6])([ZYRXSABHCDEF])")
_POWER = {"Z": -3, "Y": -2, "R": -2, "X": -1, "S": -1, "A": 0, "B": 1, "H": 1, "C": 2, "D": 3, "E": 4, "F": 5}


def read(text: str) -> Iterator[Found]:
    """`01A`, `68X`, `30R`."""
    match = _CODE.fullmatch(text)
    if match is None:
        return
    digits = round(100 * 10 ** ((int(match[1]) - 1) / 96))
    said = nominal("resistance", float(f"{digits}e{_POWER[match[2]]}"), "Ω", "F")
    if said is not None:
        yield Found("resistor", said, 0.5 if match[2] in "RHS" else 0.85)


SCHEME = Scheme("eia-96", "EIA-96 chip resistor code", "EIA-96 table; the values by its formula, 1 % parts", "S2", read)
