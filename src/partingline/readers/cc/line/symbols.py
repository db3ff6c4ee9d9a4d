"""4b5b symbols and ordered sets, as numbers whose bit 0 is the first bit on the wire.

Source: ST reference manual RM0444, UCPD chapter, and ChromiumOS EC, which agree on every row. Three of
four right K-codes make an ordered set (ST, table "Validation of ordered sets").
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.messages.names import CABLE_RESET, HARD_RESET, SOP, SOP_DOUBLE_PRIME, SOP_PRIME

NIBBLES: Final = (
    0b11110, 0b01001, 0b10100, 0b10101, 0b01010, 0b01011, 0b01110, 0b01111,
    0b10010, 0b10011, 0b10110, 0b10111, 0b11010, 0b11011, 0b11100, 0b11101,
)  # fmt: skip
SYNC_1, SYNC_2, SYNC_3, RST_1, RST_2, EOP = 0b11000, 0b10001, 0b00110, 0b00111, 0b11001, 0b01101

ORDERED_SETS: Final[dict[str, tuple[int, int, int, int]]] = {
    SOP: (SYNC_1, SYNC_1, SYNC_1, SYNC_2),
    SOP_PRIME: (SYNC_1, SYNC_1, SYNC_3, SYNC_3),
    SOP_DOUBLE_PRIME: (SYNC_1, SYNC_3, SYNC_1, SYNC_3),
    "SOP'_Debug": (SYNC_1, RST_2, RST_2, SYNC_3),
    "SOP''_Debug": (SYNC_1, RST_2, SYNC_3, SYNC_2),
    HARD_RESET: (RST_1, RST_1, RST_1, RST_2),
    CABLE_RESET: (RST_1, SYNC_1, RST_1, SYNC_3),
}
SET_OF_CODE: Final = {
    sum(symbol << 5 * place for place, symbol in enumerate(symbols)): name for name, symbols in ORDERED_SETS.items()
}
"""Whole ordered sets by their 20 wire bits."""
RESETS: Final = (HARD_RESET, CABLE_RESET)


def _byte_table() -> npt.NDArray[np.int16]:
    table = np.full(1024, -1, dtype=np.int16)
    for low, low_code in enumerate(NIBBLES):
        for high, high_code in enumerate(NIBBLES):
            table[high_code << 5 | low_code] = high << 4 | low
    return table


BYTE_OF_CODES: Final = _byte_table()
"""Ten wire bits (low nibble's symbol first) to their byte; -1 where a symbol is not data."""


@lru_cache(maxsize=4096)
def match_ordered_set(code: int) -> tuple[str | None, int]:
    """The ordered set of 20 wire bits and how many of its symbols are right.

    A whole match wins; three of four count when only one set fits so; otherwise the name is None (the
    count then tells the best that was found, and a tie of two sets is such a case).
    """
    found = tuple(code >> shift & 31 for shift in (0, 5, 10, 15))
    score = {name: sum(a == b for a, b in zip(found, symbols, strict=True)) for name, symbols in ORDERED_SETS.items()}
    best = max(score.values())
    names = [name for name, right in score.items() if right == best]
    return (names[0] if best >= 3 and len(names) == 1 else None), best
