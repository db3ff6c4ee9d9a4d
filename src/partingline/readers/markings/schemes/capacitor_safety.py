"""Suppression capacitors: class, capacitance, AC voltage. `0.47µF K X2 275V~`, `CY 102M 250V X1 Y1`."""

import re
from collections.abc import Iterator

from partingline.readers.markings.letters import nominal
from partingline.readers.markings.schemes.capacitor_code import code_farad
from partingline.readers.markings.types import Found, Said, Scheme

_CLASS = r"[XY][1-4]"
_TOKEN = re.compile(
    rf"(?P<class>(?<![A-Z0-9]){_CLASS}(?:[/ ]?{_CLASS})*(?![A-Z0-9]))"
    r"|(?P<point>(?<![\d.,])\d+[pnuµμ]\d+)(?P<pointtol>[JKMZ])?(?![A-Za-z0-9])"
    r"|(?P<farad>(?<![\d.,])\d*[.,]?\d+) ?(?P<prefix>[pnuµμ]|M(?=FD))F?(?:FD|d)?(?![a-z])"
    r"(?: ?(?P<tol>[JKMZ])\b)?"
    r"|(?P<code>(?<![\d.,])[1-9]\d[0-79])(?P<codetol>[JKMZ])?(?![\dV.,])"
    r"|(?P<tolalone>(?<![A-Za-z0-9])[JKMZ](?![A-Za-z0-9]))"
    r"|(?P<pct>[±] ?\d+ ?%)"
    r"|~? ?(?P<volts>\d{3}) ?V? ?(?:AC|ac|a\.c\.|~|∼|V)"
    r"|(?P<climate>(?<!\d)\d{2}/\d{2,3}/\d{2}(?:/[A-C])?)"
    r"|(?P<dielectric>(?<![A-Z])(?:MKP|MKT|MPX|MEX|KP|MP)(?![A-Z]))"
    r"|(?P<temperature>\d{2,3}) ?°C"
)
_PICO = {"p": -12, "n": -9, "u": -6, "µ": -6, "μ": -6, "M": -6}


def read(text: str) -> Iterator[Found]:
    """A marking that names a class X1..X4 or Y1..Y4 and a capacitance."""
    classes: list[str] = []
    said: list[Said] = []
    letter, end, unread = "", 0, ""
    for match in _TOKEN.finditer(text):
        unread += text[end : match.start()]
        end = match.end()
        letter = match["tol"] or match["codetol"] or match["pointtol"] or match["tolalone"] or letter
        classes += re.findall(_CLASS, match["class"] or "")
        said.extend(_token(match, classes[-1] if classes else ""))
    farad = next((one.value for one in said if one.quantity == "capacitance"), None)
    valued = nominal("capacitance", farad, "F", letter) if farad is not None else None
    if not classes or valued is None:
        return
    rest = tuple(one for one in _conditioned(said, classes) if one.quantity != "capacitance")
    safety = Said("safety_class", words=" ".join(dict.fromkeys(classes)))
    left = " ".join((unread + text[end:]).replace("/", " ").replace(":", " ").split())
    is_y = any(name.startswith("Y") for name in classes)
    yield Found("capacitor", (*valued, safety, *rest), 0.95, "Y capacitor" if is_y else "X capacitor", left)


def _token(match: re.Match[str], last_class: str) -> Iterator[Said]:
    if match["farad"]:
        number = match["farad"].replace(",", ".")
        yield Said("capacitance", float(f"{number}e{_PICO[match['prefix']]}"), "F")
    if match["point"]:
        whole, prefix, fraction = re.split(r"([a-zµμ])", match["point"])
        yield Said("capacitance", float(f"{whole}.{fraction}e{_PICO[prefix]}"), "F")
    if match["code"]:
        yield Said("capacitance", code_farad(match["code"][:2], match["code"][2]), "F")
    if match["volts"]:
        yield Said("rated_ac_voltage", float(match["volts"]), "V", condition=last_class)
    if match["pct"]:
        width = float(re.sub(r"[^\d]", "", match["pct"])) / 100
        yield Said("tolerance", width, "1", -width, width)
    if match["climate"]:
        yield Said("climatic_category", words=match["climate"])
    if match["dielectric"]:
        yield Said("dielectric", words=match["dielectric"])
    if match["temperature"]:
        yield Said("rated_temperature", float(match["temperature"]), "degC")


def _conditioned(said: list[Said], classes: list[str]) -> list[Said]:
    """A voltage belongs to the class before it only where each class has its own."""
    voltages = [one for one in said if one.quantity == "rated_ac_voltage"]
    if len(voltages) == len(set(classes)) > 1 and all(one.condition for one in voltages):
        return said
    kept = dict.fromkeys(voltages)
    return [Said(one.quantity, one.value, one.unit) if one in kept else one for one in said]


SCHEME = Scheme(
    "iec60384-14",
    "X and Y capacitor marking",
    "IEC 60384-14 classes; layout of the marking by common practice",
    "M",
    read,
)
