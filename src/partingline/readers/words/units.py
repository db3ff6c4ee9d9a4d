"""The unit behind a number: as it is said, as it is written, or as a captioner heard it."""

from dataclasses import dataclass

from partingline.readers.quantities.forms import match_unit
from partingline.readers.words.tokens import glued
from partingline.readers.words.types import Token
from partingline.sources.spoken import SaidUnit, said_units

_LONGEST = 4
_BARE = frozenset({"V", "A", "W", "F", "H", "K", "C", "g", "m", "s", "h", "R", "J", "T", "N"})
"""Symbols of one letter: behind a space they are units only in this case."""
_WORDS_NOT_UNITS = frozenset({"in", "at", "oz", "mil", "mils", "as", "min", "lb", "ft"})
_LETTER_UNITS = {"r": ("Ω", 1.0), "meg": ("Ω", 1e6), "u": ("F", 1e-6), "n": ("F", 1e-9), "p": ("F", 1e-12)}


@dataclass(frozen=True, slots=True)
class UnitAt:
    """A unit up to token `end`; `unit.slip` marks a captioner's word."""

    unit: SaidUnit
    end: int


def unit_at(tokens: tuple[Token, ...], at: int, text: str) -> UnitAt | None:
    """The unit that begins at a token, the longest wording first."""
    if at >= len(tokens):
        return None
    if tokens[at].low in "-‐–" and at + 1 < len(tokens) and glued(tokens, at + 1):
        at += 1  # 65-watt
    words = [token.low for token in tokens[at : at + _LONGEST]]
    table = said_units()
    for count in range(min(_LONGEST, len(words)), 0, -1):
        found = table.get(tuple(words[:count]))
        if found is not None:
            return UnitAt(found, at + count)
    return _letters(tokens, at) or _symbol(tokens, at, text)


def _letters(tokens: tuple[Token, ...], at: int) -> UnitAt | None:
    """`10k`, `4n7` without its tail: component letters glued to the number."""
    low = tokens[at].low
    if low == "k" and (glued(tokens, at) or _follows_resistor(tokens, at)):
        return UnitAt(SaidUnit("Ω", 1e3, prefix=1e3), at + 1)
    if low == "meg" or (low in _LETTER_UNITS and glued(tokens, at)):
        si, factor = _LETTER_UNITS[low]
        return UnitAt(SaidUnit(si, factor, prefix=factor), at + 1)
    return None


def _follows_resistor(tokens: tuple[Token, ...], at: int) -> bool:
    return at + 1 < len(tokens) and tokens[at + 1].low in ("resistor", "resistors")


def _symbol(tokens: tuple[Token, ...], at: int, text: str) -> UnitAt | None:
    """A unit as it is written, by the table of the quantities reader."""
    token = tokens[at]
    apart = not glued(tokens, at)
    if apart and (not _stands(tokens, at) if len(token.text) == 1 else token.low in _WORDS_NOT_UNITS):
        return None
    match = match_unit(text, token.start)
    if match is None or match.end <= token.start:
        return None
    end = at
    while end < len(tokens) and tokens[end].start < match.end:
        end += 1
    if tokens[end - 1].end != match.end and match.end < tokens[end - 1].end:
        return None
    unit = match.unit
    return UnitAt(SaidUnit(unit.si, unit.factor, unit.offset, prefix=_prefix(unit.factor)), end)


def _stands(tokens: tuple[Token, ...], at: int) -> bool:
    """A single letter is a unit in its own case, or in lower case where it cannot be a word."""
    text = tokens[at].text
    return text in _BARE or text in ("%", "Ω", "℃", "°") or text in ("v", "w")


def _prefix(factor: float) -> float:
    return factor if factor in (1e-12, 1e-9, 1e-6, 1e-3, 1e3, 1e6) else 1.0
