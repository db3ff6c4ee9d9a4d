"""Counts: `two ports`, `both bulk capacitors`, `three output capacitors` against the parts and ports of the unit."""

import re

from partingline.facts.spoken.lexicon import Mention
from partingline.facts.spoken.types import Class, Spoken
from partingline.model import Unit
from partingline.readers.words import Figure, Reading, Token, say_number

_PORT_NOUNS = frozenset({"ports", "outlets", "sockets", "outputs"})
_PLURAL = re.compile(r"\w{3,}s$")
_FEW = 12


def bind_counts(
    unit: Unit, figures: tuple[Figure, ...], tokens: tuple[Token, ...], mentions: tuple[Mention, ...]
) -> list[Spoken]:
    """Every number that stands right before the plural of something that the unit has."""
    numbers = [f for f in figures if f.kind == "count" and len(f.readings) and f.readings[0].value.is_integer()]
    numbers += [_both(token, at) for at, token in enumerate(tokens) if token.low == "both"]
    found: list[Spoken] = []
    for figure in numbers:
        counted = _counted(unit, figure, tokens, mentions)
        value = figure.readings[0].value
        if counted is None or not 1 < value <= _FEW:
            continue
        class_ = Class.AGREES if value == counted else Class.DIFFERS
        instead = "" if class_ is Class.AGREES else _written(figure, counted)
        found.append(Spoken(figure, class_, reading=figure.readings[0], expected=float(counted), instead=instead))
    return found


def _both(token: Token, at: int) -> Figure:
    return Figure("count", at, at + 1, token.start, token.end, token.text, (Reading(2.0, 0.0),), spelled=True)


def _counted(unit: Unit, figure: Figure, tokens: tuple[Token, ...], mentions: tuple[Mention, ...]) -> int | None:
    following = tokens[figure.last].low if figure.last < len(tokens) else ""
    if following in _PORT_NOUNS and figure.words.lower() != "both":
        return len(unit.ports) or None
    for mention in mentions:
        if mention.first not in (figure.last, figure.last + 1) or not mention.role or mention.plain:
            continue
        if not _PLURAL.match(tokens[mention.last - 1].low):
            continue
        if mention.role == "port":
            return len(mention.subjects)
        if all(subject.startswith("part:") for subject in mention.subjects):
            return sum(part.count for part in unit.parts if part.subject in mention.subjects)
    return None


def _written(figure: Figure, counted: int) -> str:
    if figure.words.lower() == "both":
        return "all " + say_number(str(counted))
    return say_number(str(counted)) if figure.spelled else str(counted)
