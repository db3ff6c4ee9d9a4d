"""Lithium cells: the designation of IEC 61960 (INR21/70, in the trade INR21700), capacity, voltage and energy."""

import re
from collections.abc import Iterator

from partingline.readers.markings.types import Found, Said, Scheme

_CODE = re.compile(
    r"(?<![A-Za-z0-9])(?P<letters>(?P<anode>[IL])(?P<cathode>Fp|FP|Mp|MP|[CFNMTVX])(?P<shape>[RP]))? ?"
    r"(?:(?P<round>\d{2})(?:/(?P<tall>\d{2,3})|(?P<tenths>[1-9]\d{2}))"
    r"|(?P<thick>\d{1,2})/?(?P<wide>\d{2})/?(?P<high>\d{2}))(?![\d.,]|/\d| ?[mA-Z]*[AW]h)"
)
_TOKEN = re.compile(r"(?P<number>\d+(?:[.,]\d+)?) ?(?P<unit>mAh|Ah|Wh|V)(?:DC)?(?![A-Za-z0-9])", re.IGNORECASE)
_UNITS = {
    "mah": ("rated_capacity", 3.6, "C"),
    "ah": ("rated_capacity", 3600.0, "C"),
    "wh": ("rated_energy", 3600.0, "J"),
    "v": ("cell_voltage", 1.0, "V"),
}
_CATHODES = {
    "C": "cobalt", "N": "nickel", "M": "manganese", "V": "vanadium", "F": "iron", "T": "titanium",
    "FP": "iron phosphate", "MP": "manganese phosphate", "X": "of other metals",
}  # fmt: skip


def read(text: str) -> Iterator[Found]:
    """`INR21700 5000mAh 3.6V`, `ICR19/66`, `ICP10/34/50`, `18650 2600mAh`."""
    said: dict[str, Said] = {}
    left, end = "", 0
    for match in _TOKEN.finditer(text):
        left += f"{text[end : match.start()]} "
        end = match.end()
        quantity, scale, unit = _UNITS[match["unit"].casefold()]
        value = float(f"{float(match['number'].replace(',', '.')) * scale:.9g}")
        said.setdefault(quantity, Said(quantity, value, unit))
    left += text[end:]
    code = _CODE.search(left)
    stored = bool({"rated_capacity", "rated_energy"} & said.keys())
    if code is not None and not (_agrees(code) and (stored or code["letters"])):
        code = None
    if code is None and "rated_capacity" not in said:
        return
    if code is not None:
        said |= _size(code)
        left = left[: code.start()] + left[code.end() :]
    order = ("rated_capacity", "cell_voltage", "rated_energy")
    told = sorted(said.values(), key=lambda one: (*order, one.quantity).index(one.quantity))
    likely = 0.95 if code is not None and code["letters"] else (0.8 if code is not None else 0.6)
    unread = " ".join(re.sub(r"[/:;,|]", " ", left).split())
    yield Found("cell", tuple(told), likely, _chemistry(code), unread, _notes(code))


def _agrees(code: re.Match[str]) -> bool:
    """Whether the shape that the letters name has the sizes that follow; bare digits are those of a round cell."""
    return bool(code["round"]) == (code["shape"] != "P")


def _size(code: re.Match[str]) -> dict[str, Said]:
    if not code["round"]:
        return {}
    return {"diameter": Said("diameter", int(code["round"]) / 1000, "m")}


def _chemistry(code: re.Match[str] | None) -> str:
    if code is None or not code["letters"]:
        return "lithium cell"
    anode = "lithium-ion" if code["anode"] == "I" else "lithium-metal"
    return f"{anode} cell ({_CATHODES[code['cathode'].upper()]})"


def _notes(code: re.Match[str] | None) -> tuple[str, ...]:
    if code is None:
        return ("Lithium cells burn when they are pierced, bent, heated or shorted.",)
    if code["round"]:
        tall = f"{int(code['tenths']) / 10:g}" if code["tenths"] else f"{int(code['tall'])}"
        size = f"Round, {int(code['round'])} mm across and {tall} mm high at most."
    else:
        size = f"Flat, {int(code['thick'])} mm × {code['wide']} mm × {code['high']} mm at most."
    return (size, "Lithium cells burn when they are pierced, bent, heated or shorted.")


SCHEME = Scheme(
    "lithium-cell", "lithium cells (IEC 61960 and mAh)", "IEC 61960: designation of lithium cells", "M", read
)
