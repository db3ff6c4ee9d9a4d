"""Tables of numbers in `data/`, and the citation of a row."""

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

from partingline.model import Citation
from partingline.sources.documents import cite


@cache
def table(name: str) -> dict[str, Any]:
    """The content of `data/NAME.toml`. Callers must not change it; FileNotFoundError for an unknown name."""
    return tomllib.loads((files("partingline.sources") / "data" / f"{name}.toml").read_text(encoding="utf-8"))


def touch_temperature_citation(material: str, contact: str) -> Citation:
    """How the TS1 limit of one cell of IEC 62368-1, Table 38 was read."""
    read = [material, contact] in table("iec62368")["touch_temperature"]["read"]
    return cite("iec-62368-1-2018", "Table 38, TS1", "S2" if read else "M")


def derating_citation(rule: str) -> Citation:
    """The document behind a derating rule; KeyError for an unknown rule."""
    row = table("parts")["derating"][rule]
    return cite(row["document"], row["where"], row["mark"])
