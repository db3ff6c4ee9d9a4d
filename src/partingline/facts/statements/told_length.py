"""A length that words tell: `groove 1 mm`, `width 2 mm above`."""

import re

from partingline.readers.quantities import QuantityError, parse_quantity

_LENGTH = re.compile(r"[\d.,]+\s*(?:mm|µm|um|cm|m)\b")


def told_length(words: str) -> float:
    """The first length in words, in metres and without sign; 0 without one."""
    match = _LENGTH.search(words)
    if match is None:
        return 0.0
    try:
        return abs(parse_quantity(match.group(), unit="m").value)
    except QuantityError:
        return 0.0
