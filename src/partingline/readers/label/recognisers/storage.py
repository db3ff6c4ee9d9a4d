"""Power banks: the capacity of the cells, the rated capacity at the output, and the energy; cables: the data rate."""

import re

from partingline.readers.label.recognisers.electrical import quantity_at
from partingline.readers.label.state import Line, State, keep

_HEAD = re.compile(
    r"(?:(?:rated|typical|nominal|battery|cells?|output|nenn)\s*)*(?:capacity|kapazität|energy|energie)\s*[:=]?\s*",
    re.IGNORECASE,
)
_AT_OUTPUT = re.compile(r"\b(?:rated|output|nenn)", re.IGNORECASE)
_VOLTAGE_BEHIND = re.compile(r"\s*[/,(@]?\s*\d+(?:[.,]\d+)?\s*V(?:DC|\b)(?:\s*[/,⎓=]?\s*\d+(?:\.\d+)?\s*A\b)?\)?")


def capacity(line: Line, start: int, state: State) -> int | None:
    """`10000mAh`, `20Ah 3.7V`; `Rated capacity: 6400mAh (5V 3A)` is that of the output. A voltage right behind is that
    of the cells, or of the test, and no output."""
    head = _HEAD.match(line.alike, start)
    found = quantity_at(line, head.end() if head else start, "C")
    if found is None:
        return None
    behind = _VOLTAGE_BEHIND.match(line.alike, found.end)
    end = behind.end() if behind else found.end
    what = "rated_output_capacity" if _AT_OUTPUT.search(line.alike[: found.start]) else "rated_capacity"
    keep(state, line, start, end, what, found.readings)
    return end


def energy(line: Line, start: int, state: State) -> int | None:
    """`37Wh`, `(74 Wh)`."""
    head = _HEAD.match(line.alike, start)
    found = quantity_at(line, head.end() if head else start, "J")
    if found is None:
        return None
    keep(state, line, start, found.end, "rated_energy", found.readings)
    return found.end


def data_rate(line: Line, start: int, state: State) -> int | None:
    """`480Mbps`, `40 Gbit/s`."""
    found = quantity_at(line, start, "bit/s")
    if found is None:
        return None
    keep(state, line, start, found.end, "data_rate", found.readings)
    return found.end
