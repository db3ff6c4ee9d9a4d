"""Tantalum chips: a voltage letter and a picofarad code. C106 or 106C = 10 µF 16 V. The band is positive."""

import re
from collections.abc import Iterator

from partingline.readers.markings.letters import TANTALUM_VOLTAGE
from partingline.readers.markings.schemes.capacitor_code import code_farad
from partingline.readers.markings.types import Found, Said, Scheme

_CODE = re.compile(r"(?:([GJACDEVT]) ?([1-9]\d)([4-7])|([1-9]\d)([4-7]) ?([GJACDEVT]))(?: (\w+))?")


def read(text: str) -> Iterator[Found]:
    """`C106`, `107A`."""
    match = _CODE.fullmatch(text)
    if match is None:
        return
    letter, digits, power = (match[1], match[2], match[3]) if match[1] else (match[6], match[4], match[5])
    value = code_farad(digits, power)
    said = (Said("capacitance", value, "F"), Said("rated_voltage", TANTALUM_VOLTAGE[letter], "V"))
    likely = 0.7 if match[1] else 0.5 if power in "67" else 0.3
    yield Found("capacitor", said, likely, "tantalum", match[7] or "", ("The band is positive.",))


SCHEME = Scheme("tantalum", "tantalum voltage letter and code", "EIA-535 style marking", "M", read)
