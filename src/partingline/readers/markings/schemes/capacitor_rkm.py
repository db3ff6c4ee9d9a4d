"""Capacitors with a letter for the decimal point, or written out: 4n7, p33, 2u2, m47, 100nJ63, 100nF 50V."""

import re
from collections.abc import Iterator

from partingline.readers.markings.letters import nominal
from partingline.readers.markings.types import Found, Said, Scheme

_CODE = re.compile(r"(\d{0,4})([pnuµμm])(?:F|(\d{0,3})) ?([BCDFGHJKMNQTSZ])? ?(?:(\d{2,4})(V?))?")
_POWER = {"p": -12, "n": -9, "u": -6, "µ": -6, "μ": -6, "m": -3}


def read(text: str) -> Iterator[Found]:
    """`4n7`, `100n`, `2u2K`, `100nJ63`."""
    match = _CODE.fullmatch(text)
    if match is None:
        return
    fraction = match[3] or ""
    if not match[1] + fraction or (match[5] and not match[4] and not match[6]):
        return
    value = float(f"{match[1] or '0'}.{fraction or '0'}e{_POWER[match[2]]}")
    said = nominal("capacitance", value, "F", match[4] or "")
    if said is None or value > 1:
        return
    if match[5]:
        said += (Said("rated_voltage", float(match[5]), "V"),)
    yield Found("capacitor", said, 0.6 if match[2] == "m" or value >= 1e-6 else 0.9)


SCHEME = Scheme("iec60062-rkm-capacitor", "letter for the decimal point (capacitor)", "IEC 60062, RKM code", "M", read)
