"""Every figure in a text: quantities, ranges, dimensions and counts, with their places. Codes are in `codes.py`."""

import re
from dataclasses import replace

from partingline.readers.words.numerals import Numeral, numeral_at
from partingline.readers.words.tokens import tokens_of
from partingline.readers.words.types import Figure, Reading, Token
from partingline.readers.words.units import UnitAt, unit_at

_TO = frozenset({"to", "through", "thru", "and", "or", "till", "-", "–", "—", "/", "slash", "until", "two"})
_BY = frozenset({"by", "x", "×", "times"})
_ABOUT = frozenset(
    [
        "about",
        "around",
        "roughly",
        "approximately",
        "nearly",
        "almost",
        "over",
        "under",
        "some",
        "circa",
        "like",
        "say",
        "just",
        "barely",
        "close",
        "ish",
    ]
)
_NAME_BEFORE = re.compile(r"[^\w]*[A-Za-z][A-Za-z0-9]*(?:[-/.][A-Za-z0-9]*)*")


def find_figures(text: str, tokens: tuple[Token, ...] | None = None) -> tuple[Figure, ...]:
    """Every quantity, range, dimension and bare number of a text in order; a bare number has the kind `count`."""
    tokens = tokens_of(text) if tokens is None else tokens
    found: list[Figure] = []
    at = 0
    while at < len(tokens):
        here = _figure(text, tokens, at, bool(found) and _follows(tokens, found[-1], at))
        if here:
            found += here
            at = max(here[-1].last, at + 1)
        else:
            at += 1
    return tuple(found)


def _follows(tokens: tuple[Token, ...], before: Figure, at: int) -> bool:
    """`20V3.25A`, `220 nF/275 V`: right behind a figure with its unit."""
    return before.unit != "" and (before.last == at or (before.last == at - 1 and tokens[at - 1].low == "/"))


def _figure(text: str, tokens: tuple[Token, ...], at: int, behind_unit: bool) -> list[Figure]:
    first = numeral_at(tokens, at)
    if first is None or _is_article(tokens, at, first) or (not behind_unit and _inside_name(text, tokens[at])):
        return []
    if (spread := _spread(text, tokens, at, first)) is not None:
        return [spread]
    dimensions = _dimensions(text, tokens, at, first)
    if dimensions:
        return dimensions
    ranged = _range(text, tokens, at, first)
    if ranged:
        return [ranged]
    unit = unit_at(tokens, first.end, text)
    if unit is not None and first.spelled and unit.end == first.end + 1 and len(tokens[first.end].text) == 1:
        unit = unit if tokens[first.end].text in "%Ω°℃VAW" and not _spells(tokens, at) else None
    if unit is None:
        return [_make(text, tokens, at, first.end, first, None)]
    compound = _compound(text, tokens, at, first, unit)
    return [compound or _make(text, tokens, at, unit.end, first, unit)]


def _spells(tokens: tuple[Token, ...], at: int) -> bool:
    """`n q sixty five v` spells a part number: a single letter stands right before."""
    before = tokens[at - 1].low if at else ""
    return len(before) == 1 and before.isalpha() and before != "a"


def _is_article(tokens: tuple[Token, ...], at: int, number: Numeral) -> bool:
    """`a third party`, `half the board`: a share without a unit is no figure."""
    return tokens[at].low in ("a", "an", "half", "quarter", "third", "oh") and number.end >= len(tokens)


def _inside_name(text: str, token: Token) -> bool:
    """A digit behind letters without a space belongs to a name, as in `C3`, `IEC62368` or `KX2-334K`."""
    if not token.text[0].isdigit():
        return False
    start = max(text.rfind(" ", 0, token.start), text.rfind("\n", 0, token.start)) + 1
    return bool(_NAME_BEFORE.fullmatch(text[start : token.start]))


def _spread(text: str, tokens: tuple[Token, ...], at: int, first: Numeral) -> Figure | None:
    """`62.81 ± 0.04 W`: one figure; what follows the sign is its uncertainty or tolerance."""
    own = unit_at(tokens, first.end, text)
    sign = own.end if own else first.end
    if sign >= len(tokens) or tokens[sign].low != "±":
        return None
    second = numeral_at(tokens, sign + 1)
    behind = unit_at(tokens, second.end, text) if second else None
    unit = own or behind
    if second is None or unit is None:
        return None
    figure = _make(text, tokens, at, behind.end if behind else second.end, first, unit)
    return replace(figure, unit_words="")


def _range(text: str, tokens: tuple[Token, ...], at: int, first: Numeral) -> Figure | None:
    """`100 to 240 volts`, `between 50 and 60 hertz`, `fifty or sixty hertz`, `100 V to 240 V`."""
    own = unit_at(tokens, first.end, text)
    end = own.end if own else first.end
    word = tokens[end].low if end < len(tokens) else ""
    if word not in _TO:
        return None
    if word in ("or", "and", "/", "slash") and own is not None:
        return None
    if word == "and" and not (at and tokens[at - 1].low == "between"):
        return None
    second = numeral_at(tokens, end + 1)
    unit = unit_at(tokens, second.end, text) if second else None
    if second is None or unit is None or (own is not None and own.unit.si != unit.unit.si):
        return None
    low = (own or unit).unit
    a, b = first.readings[0], second.readings[0]
    low_si, high_si = a.value * low.factor + low.offset, b.value * unit.unit.factor + unit.unit.offset
    if low_si >= high_si or (word == "two" and first.readings[0].value < 20):
        return None
    figure = _make(text, tokens, at, unit.end, first, unit)
    return replace(figure, readings=(Reading(low_si, max(a.half * low.factor, b.half * unit.unit.factor), high_si),))


def _dimensions(text: str, tokens: tuple[Token, ...], at: int, first: Numeral) -> list[Figure]:
    """`42 by 40 by 28.4 millimetres`: three figures with one unit; `two times 560 microfarads` is a count and one."""
    numbers = [(at, first, unit_at(tokens, first.end, text))]
    while len(numbers) < 4:
        start, number, unit = numbers[-1]
        end = unit.end if unit else number.end
        if end >= len(tokens) or tokens[end].low not in _BY:
            break
        following = numeral_at(tokens, end + 1)
        if following is None:
            break
        numbers.append((end + 1, following, unit_at(tokens, following.end, text)))
    last = numbers[-1][2]
    if len(numbers) < 2 or last is None:
        return []
    if last.unit.si != "m":
        start, number, unit = numbers[-1]
        counted = _make(text, tokens, start, last.end, number, last)
        return [_make(text, tokens, at, first.end, first, None), counted]
    figures = []
    for place, (start, number, unit) in enumerate(numbers):
        end = unit.end if unit else number.end
        figure = _make(text, tokens, start, end, number, unit or last)
        figures.append(replace(figure, kind="dimension", place=place))
    return figures


def _compound(text: str, tokens: tuple[Token, ...], at: int, first: Numeral, unit: UnitAt) -> Figure | None:
    """`1 hour 20 minutes`, `2 minutes and 30 seconds`."""
    if unit.unit.si != "s" or unit.unit.factor < 60:
        return None
    start = unit.end + (1 if unit.end < len(tokens) and tokens[unit.end].low == "and" else 0)
    second = numeral_at(tokens, start)
    smaller = unit_at(tokens, second.end, text) if second else None
    if second is None or smaller is None or smaller.unit.si != "s" or smaller.unit.factor >= unit.unit.factor:
        return None
    a, b = first.readings[0], second.readings[0]
    value = a.value * unit.unit.factor + b.value * smaller.unit.factor
    figure = _make(text, tokens, at, smaller.end, first, smaller)
    return replace(figure, readings=(Reading(value, b.half * smaller.unit.factor),))


def _make(text: str, tokens: tuple[Token, ...], first: int, last: int, number: Numeral, unit: UnitAt | None) -> Figure:
    start, end = tokens[first].start, tokens[last - 1].end
    factor, offset = (unit.unit.factor, unit.unit.offset) if unit else (1.0, 0.0)
    readings = tuple(Reading(r.value * factor + offset, r.half * factor) for r in number.readings)
    before = [token.low for token in tokens[max(0, first - 3) : first]]
    words_of_unit = text[tokens[number.end].start : end] if unit and number.end < last else ""
    return Figure(
        "quantity" if unit else "count", first, last, start, end, text[start:end], readings,
        unit.unit.si if unit else "", factor, offset,
        about=bool(_ABOUT & set(before[-2:])) or before[-2:] == ["up", "to"],
        slip=bool(unit and unit.unit.slip), spelled=number.spelled,
        unit_words=words_of_unit,
    )  # fmt: skip
