"""Quantities in running text, such as listing lines, with a guess of what each is about."""

import re

from partingline.readers.label.characters import alike
from partingline.readers.label.ports import match_port
from partingline.readers.label.types import Claim
from partingline.readers.quantities import FoundQuantity, find_quantities

# (unit, words near it, quantity); the first that fits is the guess. Common practice, no source.
_GUESSES: tuple[tuple[str, str, str], ...] = (
    ("W", r"no[- ]load|standby|idle|vampire", "no_load_power"),
    ("W", r"input|draws|consum", "input_power"),
    ("W", r"charg|output|total|max|power|deliver|port|shared|combined", "output_power"),
    ("1", r"(?:average|avg)[ \w.-]*efficien\w*", "average_efficiency"),
    ("1", r"power factor|\bpf\b", "power_factor"),
    ("1", r"efficien\w*|convert\w*", "efficiency"),
    ("kg", r"", "mass"),
    ("W/m³", r"", "power_density"),
    ("kg/m³", r"", "density"),
    ("degC", r"surface|case|touch|stays|housing|cool", "surface_temperature"),
    ("degC", r"ambient|operat|environment", "ambient_temperature"),
    ("Hz", r"switching", "switching_frequency"),
    ("Hz", r"input|mains|ac\b", "rated_input_frequency"),
    ("V", r"ripple|noise", "ripple_voltage"),
    ("V", r"input|mains|worldwide|travel|\bac\b", "rated_input_voltage"),
    ("A", r"input|mains", "rated_input_current"),
    ("A", r"ripple", "ripple_current"),
    ("A", r"output|port|charg|up to|max", "output_current"),
    ("m³", r"", "volume"),
    ("m", r"altitude|above sea|höhe", "altitude"),
    ("m", r"long|length|deep|cable", "length"),
    ("m", r"wide|width", "width"),
    ("m", r"high|tall|height|thick|thin", "height"),
    ("s", r"life|lifetime|rated for", "rated_life"),
)
_CLAUSE = re.compile(r"[^.;!?|•·\n]+(?:\.\d[^.;!?|•·\n]*)*")
_NEAR = 40


def read_claims(text: str) -> tuple[Claim, ...]:
    """Every quantity in running text with its place, the words about it, and a guess of what it is about."""
    claims: list[Claim] = []
    for number, printed in enumerate(text.splitlines(), start=1):
        line = alike(printed)
        for found in find_quantities(line):
            claims.append(_claim(number, printed, line, found))
    return tuple(claims)


def _claim(number: int, printed: str, line: str, found: FoundQuantity) -> Claim:
    start, end = _clause(line, found)
    before, after = line[max(start, found.start - _NEAR) : found.start], line[found.end : min(end, found.end + _NEAR)]
    phrase = printed[start:end].strip()
    what = _guess(found, before.lower(), after.lower())
    return Claim(number, found.start, found.end, phrase, what, _port(line, start, found.start), found.readings)


def _clause(line: str, found: FoundQuantity) -> tuple[int, int]:
    for clause in _CLAUSE.finditer(line):
        if clause.start() <= found.start and found.end <= clause.end():
            return clause.span()
    return 0, len(line)


def _guess(found: FoundQuantity, before: str, after: str) -> str | None:
    """The keyword nearest to the quantity decides."""
    unit = found.readings[0].unit
    best: tuple[int, str] | None = None
    for of, words, what in _GUESSES:
        if of != unit:
            continue
        if not words:
            return what
        near = rf"\b(?:{words})"
        behind, ahead = re.search(near, after), list(re.finditer(near, before))
        distances = ([behind.start()] if behind else []) + ([len(before) - ahead[-1].end()] if ahead else [])
        if distances and (best is None or min(distances) < best[0]):
            best = (min(distances), what)
    return best[1] if best else None


def _port(line: str, start: int, end: int) -> str | None:
    for at in range(end - 1, start - 1, -1):
        if at == 0 or not line[at - 1].isalnum():
            port = match_port(line, at)
            if port is not None and port[1] <= end:
                return port[0]
    return None
