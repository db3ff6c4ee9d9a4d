"""Fuse links: characteristic, current, breaking capacity, voltage. T3,15AL250V."""

import re
from collections.abc import Iterator

from partingline.readers.markings.types import Found, Said, Scheme

_SPEED = {
    "FF": "very quick (FF)",
    "F": "quick (F)",
    "M": "medium (M)",
    "T": "time-lag (T)",
    "TT": "long time-lag (TT)",
}
_MARKING = re.compile(
    r"(?P<speed>FF|TT|F|M|T)? ?(?P<amps>\d*[.,]?\d+) ?(?P<unit>mA|A)? ?(?P<breaking>[LEH])?[ /]*"
    r"(?:(?:AC )?(?P<volts>\d{2,3}) ?V ?(?P<form>AC|DC|~)?)?"
    r"(?: ?(?P<speed2>FF|TT|F|T)(?![A-Z]))?(?P<rest> .*)?"
)
_PREFERRED = (
    0.05, 0.063, 0.08, 0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1, 1.25, 1.6, 2, 2.5, 3.15,
    4, 5, 6.3,
)  # fmt: skip
_NOT_IEC = "No IEC speed letter: a UL 248-14 rating is not interchangeable with an IEC 60127 one."


def read(text: str) -> Iterator[Found]:
    """`T3.15AL250V`, `F1A250V`, `T 2 A H 250 V~`, `5A 125V`."""
    match = _MARKING.fullmatch(text)
    if match is None:
        return
    speed = match["speed"] or match["speed2"] or ""
    if not (match["unit"] and (speed or match["volts"])) and not (speed and match["volts"]):
        return
    amps = float(match["amps"].replace(",", ".")) / (1000 if match["unit"] == "mA" else 1)
    if not 0.001 <= amps <= 63:
        return
    said = [Said("rated_current", amps, "A")]
    if speed:
        said.insert(0, Said("fuse_characteristic", words=_SPEED[speed]))
    if match["volts"]:
        quantity = "rated_voltage" if match["form"] == "DC" else "rated_ac_voltage"
        said.append(Said(quantity, float(match["volts"]), "V"))
    if match["breaking"]:
        said.append(_breaking(match["breaking"], amps))
    notes: tuple[str, ...] = () if speed else (_NOT_IEC,)
    if speed and not any(abs(amps - one) < 1e-9 for one in _PREFERRED):
        notes += (f"{amps:g} A is not a preferred IEC 60127 current.",)
    likely = 0.95 if speed and match["volts"] else 0.7
    yield Found("fuse", tuple(said), likely, unread=(match["rest"] or "").strip(), notes=notes)


def _breaking(letter: str, amps: float) -> Said:
    """L: 35 A or ten times the rated current, whichever is more; E: 150 A; H: 1500 A at 250 V."""
    value = {"L": max(35.0, 10 * amps), "E": 150.0, "H": 1500.0}[letter]
    return Said("breaking_capacity", value, "A", condition=letter)


SCHEME = Scheme("iec60127", "fuse-link marking", "IEC 60127", "M", read)
