"""Part numbers, classes and standards against what the unit is known to carry."""

from difflib import SequenceMatcher

from partingline.facts.spoken.lexicon import Mention
from partingline.facts.spoken.types import Class, Spoken
from partingline.model import Fact, Text
from partingline.readers.words import Figure, Token, find_classes, find_codes, find_standards
from partingline.sources import documents

_SAME, _ALIKE, _ALIKE_NAMED = 1.0, 0.62, 0.5
_NEAR = 25


def bind_codes(
    facts: tuple[Fact, ...], text: str, tokens: tuple[Token, ...], mentions: tuple[Mention, ...], taken: set[int]
) -> list[Spoken]:
    """Every code: the same as, like, or unlike a part number of the unit; classes beside what is marked."""
    numbers = {_plain(f.text): f for f in facts if f.key.quantity in ("part_number", "model") and _is_text(f)}
    standards = find_standards(text)
    covered = {n for n, token in enumerate(tokens) for s in standards if s.start <= token.start < s.end}
    found = [_standard(figure) for figure in standards]
    classes = [one for figure in find_classes(tokens, text) if (one := _class(figure, facts, mentions)) is not None]
    covered |= {n for one in classes for n in range(one.figure.first, one.figure.last)}
    found += classes
    for figure in find_codes(tokens, text, taken | covered):
        one = _code(figure, numbers, mentions)
        if one is not None:
            found.append(one)
    return found


def _is_text(fact: Fact) -> bool:
    return isinstance(fact.preferred.value, Text)


def _plain(text: str) -> str:
    return "".join(character for character in text.upper() if character.isalnum())


def _code(figure: Figure, numbers: dict[str, Fact], mentions: tuple[Mention, ...]) -> Spoken | None:
    """The part number that the code is most like; that of a part named near is favoured."""
    ways = _ways(figure)
    named: dict[str, float] = {}
    for mention in mentions:
        distance = figure.first - mention.last if mention.last <= figure.first else mention.first - figure.last
        if 0 <= distance <= _NEAR:
            for subject in mention.subjects:
                named[subject] = max(named.get(subject, 0.0), 1.0 - distance / _NEAR)
    best: tuple[float, float, Fact] | None = None
    for number, fact in numbers.items():
        alike = max(_alike(said, number) for said in ways)
        score = alike + 0.25 * named.get(fact.key.subject, 0.0)
        if best is None or score > best[0]:
            best = (score, alike, fact)
    is_named = best is not None and named.get(best[2].key.subject, 0.0) > 0.3
    if best is None or best[1] < (_ALIKE_NAMED if is_named else _ALIKE):
        return Spoken(figure, Class.UNSUPPORTED) if _looks_like_number(ways[0]) else None
    _, alike, fact = best
    if alike >= _SAME:
        return Spoken(figure, Class.AGREES, fact, fact.preferred)
    if alike < 0.75 and not is_named and not _same_digits(ways, fact.text):
        return Spoken(figure, Class.UNCLEAR, fact)
    return Spoken(figure, Class.DIFFERS, fact, fact.preferred, off=1.0 - alike, instead=fact.text)


def _ways(figure: Figure) -> list[str]:
    """The code as said, and without an article that could belong to it: `a p g six four eight b`."""
    whole = _plain(figure.text)
    words = figure.words.lower().split()
    ways = [whole]
    if words[0] == "a":
        ways.append(whole[1:])
    if words[-1] == "a":
        ways += [way[:-1] for way in ways]
    return ways


def _same_digits(ways: list[str], number: str) -> bool:
    digits = [character for character in number if character.isdigit()]
    return any([character for character in way if character.isdigit()] == digits for way in ways)


def _alike(said: str, number: str) -> float:
    if said == number:
        return 1.0
    return min(0.99, SequenceMatcher(None, said, number, autojunk=False).ratio())


def _looks_like_number(said: str) -> bool:
    letters = sum(character.isalpha() for character in said)
    return len(said) >= 5 and 1 < letters < len(said) - 1


def _class(figure: Figure, facts: tuple[Fact, ...], mentions: tuple[Mention, ...]) -> Spoken | None:
    """`level six`, `class two`, `X2` beside the marks and classes that are known."""
    quantity = figure.unit_words
    known = [fact for fact in facts if fact.key.quantity == quantity and _is_text(fact)]
    if quantity == "safety_class":
        letter = figure.text[:1]
        known = [fact for fact in known if fact.text[:1] == letter]
        if not known and _beside_capacitor(figure, facts, mentions):
            return Spoken(figure, Class.UNSUPPORTED)
    if not known:
        return None
    fact = next((one for one in known if one.text == figure.text), known[0])
    if fact.text == figure.text:
        return Spoken(figure, Class.AGREES, fact, fact.preferred)
    head = figure.words.split()[0] if len(figure.words.split()[0]) > 1 else ""
    return Spoken(figure, Class.DIFFERS, fact, fact.preferred, off=1.0, instead=f"{head} {fact.text}".strip())


def _beside_capacitor(figure: Figure, facts: tuple[Fact, ...], mentions: tuple[Mention, ...]) -> bool:
    return any(abs(m.first - figure.last) <= 3 and m.role in ("x_capacitor", "y_capacitor") for m in mentions)


def _standard(figure: Figure) -> Spoken:
    """A standard is known where the bibliography has it; a unit does not carry it by being told of."""
    name = figure.text.replace("R", "").split()
    number = name[-1] if name else ""
    known = any(number and number in document.title for document in documents().values())
    return Spoken(figure, Class.AGREES if known else Class.UNSUPPORTED)
