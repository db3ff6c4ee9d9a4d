"""Words that name what is spoken of: parts, ports and their roles, quantities, loads, and who says so."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache

from partingline.model import Route, Unit
from partingline.readers.words import Token
from partingline.sources import quantities, roles

_LOADS = {
    "full load": 1.0, "full power": 1.0, "half load": 0.5, "half power": 0.5, "quarter load": 0.25, "flat out": 1.0,
    "three quarter load": 0.75, "three quarters load": 0.75, "ten percent load": 0.1, "maximum load": 1.0,
    "rated load": 1.0, "a quarter load": 0.25, "fully loaded": 1.0, "half loaded": 0.5, "tenth load": 0.1,
    "quarter of the load": 0.25, "full output": 1.0,
}  # fmt: skip
_ROUTES = {
    "label": Route.LABEL, "listing": Route.LISTING, "shop page": Route.LISTING, "advertised": Route.LISTING,
    "advertises": Route.LISTING, "claims": Route.LISTING, "claimed": Route.LISTING, "seller": Route.LISTING,
    "printed": Route.LABEL, "box": Route.LISTING, "packaging": Route.LISTING, "marked": Route.MARKING,
    "marking": Route.MARKING, "data sheet": Route.DATASHEET, "datasheet": Route.DATASHEET, "label says": Route.LABEL,
}  # fmt: skip
_KINDS = frozenset({"capacitor", "resistor", "transistor", "diode", "inductor", "controller", "connector", "isolator"})
"""Kinds that many parts have: such a word alone names nobody."""
_BODY = ("the unit", "whole charger", "the charger", "the body", "the case", "the whole thing", "adapter", "outside")
_SPOKEN = {"0": ("oh", "zero"), "1": ("one",), "2": ("two", "to", "too"), "3": ("three",), "4": ("four", "for"),
           "5": ("five",), "6": ("six",), "7": ("seven",), "8": ("eight", "ate"), "9": ("nine",)}  # fmt: skip
_LETTERS = {"c": ("c", "see", "sea"), "q": ("q", "queue", "cue"), "r": ("r", "are"), "u": ("u", "you"),
            "t": ("t", "tee"), "l": ("l", "el"), "f": ("f",), "d": ("d",), "j": ("j",), "a": ("a",)}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Mention:
    """A phrase found at tokens `first` to `last`: whom or what it names.

    `subjects` of parts, ports and the unit; `quantities` with the length of the wording; a `load`; a `route`.
    `plain` marks a part's reference or number, which names nobody else.
    """

    first: int
    last: int
    subjects: frozenset[str] = frozenset()
    quantities: frozenset[str] = frozenset()
    load: float | None = None
    route: Route | None = None
    plain: bool = False
    role: str = ""
    words: int = 1


@dataclass
class Lexicon:
    """Every phrase of a unit by its words; `longest` is the number of words of the longest one by its first word."""

    phrases: dict[tuple[str, ...], list[Mention]] = field(default_factory=dict)
    longest: dict[str, int] = field(default_factory=dict)

    def add(self, phrase: str, mention: Mention) -> None:
        """Enter a phrase; what one phrase names is united."""
        words = _words(phrase)
        if words:
            self.phrases.setdefault(words, []).append(mention)
            self.longest[words[0]] = max(self.longest.get(words[0], 0), len(words))

    def find(self, tokens: tuple[Token, ...]) -> tuple[Mention, ...]:
        """All mentions in a text, the longest wording at each place and none inside another; in order."""
        words = [(index, _stem(token.low)) for index, token in enumerate(tokens) if token.low not in ("-", "‐", "'")]
        found: list[Mention] = []
        covered = 0
        for at in range(len(words)):
            for count in range(min(self.longest.get(words[at][1], 0), len(words) - at), 0, -1):
                phrase = tuple(word for _, word in words[at : at + count])
                if phrase in self.phrases and at + count > covered:
                    first, last = words[at][0], words[at + count - 1][0] + 1
                    found += [_placed(mention, first, last, count) for mention in self.phrases[phrase]]
                    covered = at + count
                    break
        return tuple(found)


@lru_cache(maxsize=4096)
def _words(phrase: str) -> tuple[str, ...]:
    return tuple(_stem(word) for word in phrase.lower().replace("-", " ").replace("(", " ").replace(")", " ").split())


def lexicon_of(unit: Unit) -> Lexicon:
    """The lexicon of a unit."""
    lexicon = Lexicon()
    _parts(lexicon, unit)
    _ports(lexicon, unit)
    for quantity in quantities().values():
        for name in {quantity.name, *quantity.names, *quantity.said}:
            lexicon.add(name, Mention(0, 0, quantities=frozenset({quantity.id})))
    for phrase, load in _LOADS.items():
        lexicon.add(phrase, Mention(0, 0, load=load))
    for phrase, route in _ROUTES.items():
        lexicon.add(phrase, Mention(0, 0, route=route))
    for phrase in _BODY:
        lexicon.add(phrase, Mention(0, 0, subjects=frozenset({"unit"})))
    lexicon.add("creepage", Mention(0, 0, subjects=frozenset({"barrier:main"})))
    lexicon.add("clearance", Mention(0, 0, subjects=frozenset({"barrier:main"})))
    return lexicon


def _parts(lexicon: Lexicon, unit: Unit) -> None:
    by_kind: dict[str, set[str]] = {}
    for part in unit.parts:
        own = frozenset({part.subject})
        for spelled in _reference(part.ref):
            lexicon.add(spelled, Mention(0, 0, subjects=own, plain=True))
        by_kind.setdefault(part.kind, set()).add(part.subject)
    for role in roles().values():
        filling = unit.having(role.id)
        names = {role.name, *role.names, *role.said}
        if filling and role.id != "port":
            _all(lexicon, names | {_short(name) for name in names}, (part.subject for part in filling), role.id)
    for kind, subjects in by_kind.items():
        if kind not in _KINDS or len(subjects) == 1:
            _all(lexicon, {kind}, subjects, kind)


def _all(lexicon: Lexicon, names: Iterable[str], subjects: Iterable[str], role: str) -> None:
    everyone = frozenset(subjects)
    for name in names:
        lexicon.add(name, Mention(0, 0, subjects=everyone, role=role))


def _short(name: str) -> str:
    return name.replace("capacitor", "cap")


def _ports(lexicon: Lexicon, unit: Unit) -> None:
    everyone = frozenset(port.subject for port in unit.ports)
    together = frozenset({f"ports:{'+'.join(sorted(port.id for port in unit.ports))}"})
    for port in unit.ports:
        own = frozenset({port.subject})
        for spelled in _reference(port.id):
            for phrase in (spelled, f"port {spelled}"):
                lexicon.add(phrase, Mention(0, 0, subjects=own, plain=True, role="port"))
        alike = frozenset(other.subject for other in unit.ports if other.connector == port.connector)
        kind = port.connector.lower().replace("-", " ")
        for phrase in {kind, kind.replace("usb", "type"), f"{kind} port", kind.replace("usb", "").strip() + " port"}:
            lexicon.add(phrase, Mention(0, 0, subjects=alike, role="port"))
    if len(unit.ports) > 1:
        for phrase in (
            "both ports",
            "together",
            "combined",
            "two ports at once",
            "shared",
            "both ports at once",
            "all ports",
        ):
            lexicon.add(phrase, Mention(0, 0, subjects=together, role="ports"))
    if len(unit.ports) == 1:
        lexicon.add("the output", Mention(0, 0, subjects=everyone, role="port"))
        lexicon.add("the port", Mention(0, 0, subjects=everyone, role="port"))


def _reference(ref: str) -> list[str]:
    """`C15`, `c fifteen`, `see one five`: how a reference is said. Joined it is two tokens, letters and digits."""
    letters = ref.rstrip("0123456789")
    digits = ref[len(letters) :]
    heads = (
        _LETTERS.get(letters.lower(), (letters.lower(),))
        if len(letters) == 1
        else (letters.lower(), " ".join(letters.lower()))
    )
    tails = {digits, " ".join(digits)} if digits else {""}
    if digits:
        spelled = [""]
        for digit in digits:
            spelled = [f"{head} {word}".strip() for head in spelled for word in _SPOKEN[digit]]
        tails |= set(spelled) | _teens(digits)
    return [f"{head} {tail}".strip() for head in heads for tail in tails]


def _teens(digits: str) -> set[str]:
    from partingline.readers.words import say_number

    return {say_number(digits)} if len(digits) == 2 and digits[0] != "0" else set()


def _stem(word: str) -> str:
    if word in ("cap", "caps"):
        return "capacitor"
    word = word.removesuffix("'s")
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _placed(mention: Mention, first: int, last: int, words: int) -> Mention:
    return Mention(
        first,
        last,
        mention.subjects,
        mention.quantities,
        mention.load,
        mention.route,
        mention.plain,
        mention.role,
        words,
    )
