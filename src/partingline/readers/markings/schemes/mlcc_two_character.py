"""Ceramic chips with a letter for the value and a digit for the power of ten in picofarads: A5 = 0.1 µF.

Most ceramic chips are not marked at all. A maker's letter may stand before the two.
"""

import re
from collections.abc import Iterator

from partingline.readers.markings.schemes.capacitor_code import code_farad
from partingline.readers.markings.types import Found, Said, Scheme

_CODE = re.compile(r"([A-Z])?([A-HJ-NP-Z])(\d)")
_VALUES = {
    "A": "10", "B": "11", "C": "12", "D": "13", "E": "15", "F": "16", "G": "18", "H": "20",
    "J": "22", "K": "24", "L": "27", "M": "30", "N": "33", "P": "36", "Q": "39", "R": "43",
    "S": "47", "T": "51", "U": "56", "V": "62", "W": "68", "X": "75", "Y": "82", "Z": "91",
}  # fmt: skip


def read(text: str) -> Iterator[Found]:
    """`A5`, `J3`, `KA5`."""
    match = _CODE.fullmatch(text)
    if match is None:
        return
    # The letter stands for a value from 1.0 to 9.1: one power of ten less than two digits do.
    value = code_farad(_VALUES[match[2]], match[3]) / 10
    if value > 10e-6:
        return
    notes = (f"{match[1]} was taken for the maker's letter.",) if match[1] else ()
    yield Found("capacitor", (Said("capacitance", value, "F"),), 0.2 if match[1] else 0.4, "ceramic", notes=notes)


SCHEME = Scheme("eia-198-value", "two-character ceramic value code", "EIA-198 value code", "M", read)
