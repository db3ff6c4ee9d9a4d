"""Class II and III ceramics: temperature range and change of capacitance. X7R = -55..125 °C, ±15 %."""

import re
from collections.abc import Iterator

from partingline.readers.markings.types import Found, Said, Scheme

_LOWEST = {"X": -55.0, "Y": -30.0, "Z": 10.0}
_HIGHEST = {"2": 45.0, "4": 65.0, "5": 85.0, "6": 105.0, "7": 125.0, "8": 150.0, "9": 200.0}
_CHANGE = {
    "A": (-0.01, 0.01), "B": (-0.015, 0.015), "C": (-0.022, 0.022), "D": (-0.033, 0.033),
    "E": (-0.047, 0.047), "F": (-0.075, 0.075), "P": (-0.10, 0.10), "R": (-0.15, 0.15), "S": (-0.22, 0.22),
    "T": (-0.33, 0.22), "U": (-0.56, 0.22), "V": (-0.82, 0.22),
}  # fmt: skip
_CODE = re.compile(r"([XYZ])([2456789])([A-FPR-V])")


def read(text: str) -> Iterator[Found]:
    """`X7R`, `Y5V`, `Z5U`."""
    match = _CODE.fullmatch(text)
    if match is None:
        return
    low, high = _CHANGE[match[3]]
    said = (
        Said("dielectric", words=text),
        Said("temperature_range", None, "degC", _LOWEST[match[1]], _HIGHEST[match[2]]),
        Said("capacitance_change", None, "1", low, high),
    )
    yield Found("capacitor", said, 0.9, "ceramic")


SCHEME = Scheme(
    "eia-198-class-2",
    "class II and III ceramic characteristic",
    "EIA-198 letters; TI SLAA701 table and two maker tables",
    "S2",
    read,
)
