"""Figures that tell a condition: `at 230 volts`, `20 volts at 3 amps`, `25 percent load`."""

from itertools import pairwise

from partingline.facts.spoken.candidates import Candidates
from partingline.readers.words import Figure, Token

_BEFORE = frozenset({"at", "on", "from", "into", "with", "under"})
_RATED = frozenset(
    [
        "rated",
        "marked",
        "rating",
        "is",
        "sits",
        "comes",
        "good",
        "part",
        "stays",
        "reaches",
        "peaks",
        "arrives",
        "stops",
    ]
)
_ASKED = frozenset({"asked", "ask", "asking", "negotiated", "set"})
_MAINS = frozenset({"mains", "input", "line", "ac", "grid"})
_CLOSE = 0.012
_WHEN = frozenset({"when", "if", "whenever"})
_CLAUSE_WORDS = 4


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
        elif figure.kind == "count":
            told = _bare_mains(figure, tokens, mains)
        elif figure.unit == "1" and _load_follows(figure, tokens):
            told = ("load", figure.readings[0].value)
        else:
            continue
        if told is not None:
            found.append((figure.first, *told))
    return tuple(found)


def pairs(figures: tuple[Figure, ...], tokens: tuple[Token, ...], subjects: set[int]) -> dict[int, int]:
    """From the place of each current to that of its voltage; `subjects`: places where a part is named."""
    found = {}
    for first, second in pairwise(figures):
        between = [token.low for token in tokens[first.last : second.first]]
        if subjects & set(range(first.last, second.first)):
            continue
        if (
            first.unit == "A"
            and second.unit == "V"
            and first.first not in found
            and (between in (["at"], ["on"], ["from"], ["at", "the"]) or _when(between))
        ):
            found[first.first] = second.first
        elif (first.unit, second.unit) == ("V", "A") and first.first not in found.values():
            found |= {second.first: first.first} if _joined(first, second, tokens) else {}
    return found


def _when(words: list[str]) -> bool:
    """`3 amps when it gives five volts`."""
    return words[:1] in (["when"], ["if"]) and len(words) <= _CLAUSE_WORDS


def _volts(
    figure: Figure,
    following: Figure | None,
    tokens: tuple[Token, ...],
    mains: frozenset[float],
    offers: frozenset[float],
) -> tuple[str, float] | None:
    if figure.readings[0].high is not None:
        return None
    before = [token.low for token in tokens[max(0, figure.first - 3) : figure.first]]
    after = {token.low for token in tokens[figure.last : figure.last + 2]}
    asked = bool(_WHEN & set(before))
    asked |= bool(_BEFORE & set(before[-2:])) and not _RATED & set(before)
    asked |= "for" in before[-1:] and bool(_ASKED & set(before))
    after |= {word for word in before if before[-1:] == ["of"]}
    with_current = following is not None and following.unit == "A" and _joined(figure, following, tokens)
    for name, known in (("mains", mains), ("offer", offers)):
        value = _near(figure, known)
        if value is None:
            continue
        if asked or (name == "mains" and after & _MAINS) or (name == "offer" and with_current):
            return name, value
    return None


def _bare_mains(figure: Figure, tokens: tuple[Token, ...], mains: frozenset[float]) -> tuple[str, float] | None:
    """`at one fifteen`: a mains voltage without its unit."""
    value = _near(figure, mains)
    before = tokens[figure.first - 1].low if figure.first else ""
    return ("mains", value) if value is not None and value >= 90 and before in ("at", "on", "from", "with") else None


def _joined(figure: Figure, following: Figure, tokens: tuple[Token, ...]) -> bool:
    """`20 volts at 3 amps`, `20 volts, 3 amps`, `20 volts 3 amps`."""
    between = [token.low for token in tokens[figure.last : following.first]]
    return len(between) <= 5 and not {".", ";", "?"} & set(between) and ("," not in between or len(between) == 1)


def _near(figure: Figure, known: frozenset[float]) -> float | None:
    for reading in figure.readings:
        for value in known:
            if abs(reading.value - value) <= _CLOSE * value:
                return value
    return None


def _load_follows(figure: Figure, tokens: tuple[Token, ...]) -> bool:
    behind = [token.low for token in tokens[figure.last : figure.last + 3]]
    place = next((n for n, word in enumerate(behind) if word in ("load", "loaded")), None)
    return place is not None and all(word in ("of", "the", "full", "rated") for word in behind[:place])
