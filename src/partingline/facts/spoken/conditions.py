"""Figures that tell under which condition something is said: `at 230 volts`, `20 volts at 3 amps`, `25 percent load`."""

from itertools import pairwise

from partingline.facts.spoken.candidates import Candidates
from partingline.readers.words import Figure, Token

_BEFORE = frozenset({"at", "on", "from", "into", "with", "under"})
_RATED = frozenset("rated marked rating is sits comes good part stays reaches peaks arrives stops".split())
_MAINS = frozenset({"mains", "input", "line", "ac", "grid"})
_CLOSE = 0.012


def conditions(
    figures: tuple[Figure, ...], tokens: tuple[Token, ...], candidates: Candidates
) -> tuple[tuple[int, str, float], ...]:
    """Place, name and value of every figure that is a condition of something known."""
    mains, offers = candidates.conditions("mains"), candidates.conditions("offer")
    found: list[tuple[int, str, float]] = []
    for index, figure in enumerate(figures):
        following = figures[index + 1] if index + 1 < len(figures) else None
        if figure.unit == "V" and figure.kind == "quantity":
            told = _volts(figure, following, tokens, mains, offers)
        elif figure.unit == "1" and _load_follows(figure, tokens):
            told = ("load", figure.readings[0].value)
        else:
            continue
        if told is not None:
            found.append((figure.first, *told))
    return tuple(found)


def pairs(figures: tuple[Figure, ...], tokens: tuple[Token, ...]) -> dict[int, int]:
    """From the place of each current to that of the voltage that it is said with."""
    found = {}
    for volts, amps in pairwise(figures):
        if volts.unit == "V" and amps.unit == "A" and _joined(volts, amps, tokens):
            found[amps.first] = volts.first
    return found


def _volts(
    figure: Figure, following: Figure | None, tokens: tuple[Token, ...], mains: frozenset[float], offers: frozenset[float]
) -> tuple[str, float] | None:
    if figure.readings[0].high is not None:
        return None
    before = [token.low for token in tokens[max(0, figure.first - 3) : figure.first]]
    after = {token.low for token in tokens[figure.last : figure.last + 2]}
    asked = bool(_BEFORE & set(before[-2:])) and not _RATED & set(before)
    with_current = following is not None and following.unit == "A" and _joined(figure, following, tokens)
    for name, known in (("mains", mains), ("offer", offers)):
        value = _near(figure, known)
        if value is None:
            continue
        if asked or (name == "mains" and after & _MAINS) or (name == "offer" and with_current):
            return name, value
    return None


def _joined(figure: Figure, following: Figure, tokens: tuple[Token, ...]) -> bool:
    """`20 volts at 3 amps`, `20 volts, 3 amps`, `20 volts 3 amps`."""
    between = [token.low for token in tokens[figure.last : following.first]]
    return len(between) <= 2 and all(word in ("at", ",", "and", "with", "-", "/", "up", "to", "it", "gives", "slash") for word in between)


def _near(figure: Figure, known: frozenset[float]) -> float | None:
    for reading in figure.readings:
        for value in known:
            if abs(reading.value - value) <= _CLOSE * value:
                return value
    return None


def _load_follows(figure: Figure, tokens: tuple[Token, ...]) -> bool:
    return any(token.low in ("load", "loaded") for token in tokens[figure.last : figure.last + 3])
