"""Units as they are said, read from data: every spelling with its factor, and whether it is a captioner's slip."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

PREFIXED = frozenset({"V", "A", "W", "Ω", "F", "H", "Hz", "s", "m", "g", "J", "bits"})


@dataclass(frozen=True, slots=True)
class SaidUnit:
    """`si_value = number * factor + offset`; `slip` where the word is a mishearing of the unit."""

    si: str
    factor: float
    offset: float = 0.0
    slip: bool = False
    prefix: float = 1.0


@cache
def said_units() -> dict[tuple[str, ...], SaidUnit]:
    """Every way to say a unit, as a tuple of lower-case words; prefixed ones both joined and apart."""
    text = (files("partingline.sources") / "data" / "spoken.toml").read_text(encoding="utf-8")
    raw = tomllib.loads(text)
    found: dict[tuple[str, ...], SaidUnit] = {}
    for id_, fields in raw["units"].items():
        for slip, key in ((False, "names"), (True, "slips")):
            for name in fields.get(key, ()):
                _add(found, raw, id_, name, fields, slip)
    return found


def _add(
    found: dict[tuple[str, ...], SaidUnit], raw: dict[str, Any], id_: str, name: str, fields: dict[str, Any], slip: bool
) -> None:
    si, factor, offset = fields.get("si", id_), fields.get("factor", 1.0), fields.get("offset", 0.0)
    words = tuple(name.split())
    found.setdefault(words, SaidUnit(si, factor, offset, slip))
    if id_ not in PREFIXED:
        return
    for wrong, key in ((False, "prefixes"), (True, "prefix_slips")):
        for prefix, power in raw[key].items():
            unit = SaidUnit(si, factor * power, offset, slip or wrong, power)
            head = tuple(prefix.split())
            found.setdefault((*head, *words), unit)
            found.setdefault((*head[:-1], head[-1] + words[0], *words[1:]), unit)
