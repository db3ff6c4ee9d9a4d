"""Electrolytic and polymer capacitors: microfarads and volts, written out or bare (`560 25`)."""

import re
from collections.abc import Iterator

from partingline.readers.markings.types import Found, Said, Scheme

_TOKEN = re.compile(
    r"(?P<farad>\d*[.,]?\d+) ?(?:[µμuU][Ff]?|MFD?|mfd)(?![a-z])(?: ?\(?(?P<tol>[MKQ])\)?(?![A-Za-z]))?"
    r"|(?P<volts>\d+(?:[.,]\d)?) ?(?:V|WV|v)(?:DC|dc)?(?![a-z])"
    r"|(?:[\-−]\d{2} ?(?:[°º]?C|℃)? ?[~∼…/\-–+]+ ?)?(?P<celsius>(?<!\d)\d{2,3}) ?(?:[°º]?C(?![a-z])|℃)"
    r"|(?P<hours>\d{3,5}) ?(?:h|H|hrs|Hrs)(?![a-z])"
    r"|(?P<pct>[±] ?\d+ ?%)"
)
_BARE = re.compile(r"(\d+(?:\.\d)?)[ /](\d+(?:\.\d)?)(?: (.*))?")
_POLARITY = "Stripe of an aluminium can, black corner of a chip: negative. Band of a polymer chip: positive."
_MAINS = re.compile(r"\b[XY][1-4]\b|\d ?V ?[~∼]|[~∼] ?\d{3} ?V|V ?AC", re.IGNORECASE)
_RATINGS = (
    2.5, 4, 6.3, 10, 16, 20, 25, 35, 50, 63, 80, 100, 160, 200, 250, 315, 350, 400, 420, 450, 500,
)  # fmt: skip


def read(text: str) -> Iterator[Found]:
    """`400V 82µF 105°C`, `82uF400V`, `680µF 25V`; bare `560 25`."""
    bare = _BARE.fullmatch(text)
    if _MAINS.search(text):
        return
    if bare is not None:
        yield from _bare(bare)
        return
    said: dict[str, Said] = {}
    unread, end = "", 0
    for match in _TOKEN.finditer(text):
        unread += text[end : match.start()]
        end = match.end()
        for one in _token(match):
            said.setdefault(one.quantity, one)
    if "capacitance" not in said or "rated_voltage" not in said:
        return
    if (said["capacitance"].value or 0) < 0.05e-6:
        return
    left = " ".join(re.sub(r"[/:;,|]", " ", unread + text[end:]).split())
    likely = 0.95 if "rated_temperature" in said or (said["capacitance"].value or 0) >= 1e-6 else 0.6
    order = sorted(said.values(), key=lambda one: one.quantity != "capacitance")
    yield Found("capacitor", tuple(order), likely, "electrolytic", left, (_POLARITY,))


def _bare(match: re.Match[str]) -> Iterator[Found]:
    """Either number can be the voltage where both are usual ratings."""
    for farad, volts, likely in ((match[1], match[2], 0.85), (match[2], match[1], 0.4)):
        if float(volts) in _RATINGS and float(farad) > 0:
            said = (Said("capacitance", float(f"{farad}e-6"), "F"), Said("rated_voltage", float(volts), "V"))
            yield Found("capacitor", said, likely, "electrolytic", match[3] or "", (_POLARITY,))


def _token(match: re.Match[str]) -> Iterator[Said]:
    if match["farad"]:
        number = match["farad"].replace(",", ".")
        yield Said("capacitance", float(f"{number}e-6"), "F")
    if match["tol"]:
        width = {"M": 0.2, "K": 0.1}.get(match["tol"])
        band = (-width, width) if width else (-0.1, 0.3)
        yield Said("tolerance", width, "1", *band)
    if match["pct"]:
        width = float(re.sub(r"[^\d]", "", match["pct"])) / 100
        yield Said("tolerance", width, "1", -width, width)
    if match["volts"]:
        yield Said("rated_voltage", float(match["volts"].replace(",", ".")), "V")
    if match["celsius"]:
        yield Said("rated_temperature", float(match["celsius"]), "degC")
    if match["hours"]:
        yield Said("rated_life", float(match["hours"]) * 3600.0, "s")


SCHEME = Scheme("electrolytic", "microfarads and volts", "common practice, no source", "P", read)
