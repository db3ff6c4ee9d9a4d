"""Capacitors: two digits and a power of ten in picofarads, with voltage, tolerance and dielectric around it.

104 = 0.1 µF, 229 = 2.2 pF, 2A104J = 100 V 0.1 µF 5 %, 222M 400V, 104K X7R 50V.
"""

import re
from collections.abc import Iterator

from partingline.readers.markings.letters import VOLTAGE, nominal
from partingline.readers.markings.preferred import is_preferred
from partingline.readers.markings.types import Found, Said, Scheme

_CODE = re.compile(
    r"(?:(?P<letters>[012][A-Z])|(?P<volts>\d{2,4})V ?)?"
    r" ?(?P<digits>[1-9]\d)(?P<power>[0-9]) ?(?P<tolerance>[A-Z])?"
    r"(?: ?(?P<dielectric>[XYZ][2-9][A-V]|C0G|COG|NP0|NPO))?"
    r"(?: ?(?P<volts2>\d{2,4})V|(?P<bare>\d{2,4})|(?P<letters2>[012][A-Z]))?"
)
_RATINGS = {16, 25, 50, 63, 100, 160, 200, 250, 400, 450, 500, 630, 1000, 1250, 1600, 2000}


def read(text: str) -> Iterator[Found]:
    """`104`, `474K`, `2A104J`, `104J100`, `222M 400V`."""
    match = _CODE.fullmatch(text)
    if match is None:
        return
    value = code_farad(match["digits"], match["power"])
    said = nominal("capacitance", value, "F", match["tolerance"] or "")
    voltage = _voltage(match)
    if said is None or voltage is None or value > 100e-6:
        return
    dielectric = match["dielectric"]
    if dielectric:
        said += (Said("dielectric", words=dielectric),)
    # Three bare digits fit many things; each further letter that makes sense leaves fewer.
    likely = 0.5 + 0.2 * bool(match["tolerance"]) + 0.2 * bool(voltage) + 0.1 * bool(dielectric)
    likely -= 0.3 * (match["power"] in "6789") + 0.2 * (not is_preferred(match["digits"]))
    variety = "ceramic" if dielectric else "film" if match["letters"] and match["tolerance"] else ""
    yield Found("capacitor", said + voltage, round(likely, 2), variety)


def code_farad(digits: str, power: str) -> float:
    """Two digits and a power of ten, in farads; 9 is x0.1 and 8 is x0.01."""
    exponent = {"9": -1, "8": -2}.get(power, int(power))
    return float(f"{digits}e{exponent - 12}")


def _voltage(match: re.Match[str]) -> tuple[Said, ...] | None:
    """The rated voltage, empty where none is written, None where the text makes no voltage."""
    letters = match["letters"] or match["letters2"]
    if letters:
        volts = VOLTAGE.get(letters)
        return None if volts is None else (Said("rated_voltage", volts, "V", evidence="M"),)
    if match["bare"] and (not match["tolerance"] or int(match["bare"]) not in _RATINGS):
        return None
    written = match["volts"] or match["volts2"] or match["bare"]
    if written is None:
        return ()
    return (Said("rated_voltage", float(written), "V"),)


SCHEME = Scheme(
    "capacitor-code", "three-digit picofarad code", "EIA/IEC 60062 three-digit capacitance code", "S2", read
)
