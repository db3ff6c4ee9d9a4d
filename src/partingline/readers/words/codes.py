"""Part numbers, standards and classes in spoken or written text: letters and digits said one by one or together."""

import re

from partingline.readers.words.numerals import DIGITS, numeral_at
from partingline.readers.words.types import Figure, Token

_STANDARD = re.compile(
    r"\b(?P<body>iec|i e c|en|ul|u l|csa|iso|usb pd|usb power delivery|power delivery|pd|gb|cispr|ieee)[ -]?"
    r"(?P<number>(?:r(?:evision)? ?)?\d[\d.]*(?:[ -]\d+)*)\b",
    re.IGNORECASE,
)
_ROMAN = {"one": "I", "two": "II", "three": "III", "four": "IV", "five": "V", "six": "VI", "seven": "VII"}
_ROMAN |= {"1": "I", "2": "II", "3": "III", "4": "IV", "5": "V", "6": "VI", "7": "VII"}
_CLASSES = {
    "level": "efficiency_mark", "class": "insulation_class", "x": "safety_class", "y": "safety_class",
}  # fmt: skip
_LETTER_NAMES = {
    "ay": "a", "bee": "b", "be": "b", "see": "c", "sea": "c", "cee": "c", "dee": "d", "eff": "f", "gee": "g",
    "aitch": "h", "jay": "j", "kay": "k", "el": "l", "ell": "l", "em": "m", "en": "n", "pee": "p", "queue": "q",
    "cue": "q", "ar": "r", "are": "r", "ess": "s", "tee": "t", "tea": "t", "you": "u", "vee": "v", "ex": "x",
    "why": "y", "zed": "z", "zee": "z", "dash": "", "hyphen": "", "minus": "",
}  # fmt: skip
_STRONG = frozenset({"dash", "hyphen"})
_TIMES = {"double": 2, "triple": 3}
_DASHES = frozenset({"-", "‐", "–"})
_SHORTEST, _LONGEST = 4, 16


def find_standards(text: str) -> tuple[Figure, ...]:
    """`IEC 62368-1`, `USB PD 3.1`: the name in `text`, in capitals with single spaces."""
    found = []
    for match in _STANDARD.finditer(text):
        name = f"{match['body'].upper().replace('I E C', 'IEC').replace('U L', 'UL')} {match['number']}"
        found.append(Figure("standard", -1, -1, match.start(), match.end(), match.group(), text=name.strip()))
    return tuple(found)


def find_classes(tokens: tuple[Token, ...], text: str) -> tuple[Figure, ...]:
    """`level six`, `class two`, `Y1`: the class in `text`, its quantity in `unit_words`."""
    found = []
    for at, token in enumerate(tokens[:-1]):
        quantity = _CLASSES.get(token.low)
        following = tokens[at + 1]
        if quantity is None or (len(token.low) == 1 and following.low not in ("1", "2", "one", "two")):
            continue
        number = _ROMAN.get(following.low) or (following.text if following.text in _ROMAN.values() else "")
        if not number:
            continue
        said = number if len(token.low) > 1 else token.text.upper() + str(len(number))
        start, end = token.start, following.end
        found.append(Figure("code", at, at + 2, start, end, text[start:end], text=said, unit_words=quantity))
    return tuple(found)


def find_codes(tokens: tuple[Token, ...], text: str, taken: set[int]) -> tuple[Figure, ...]:
    """Runs that spell a part number, `NQ65A`, `n q sixty five a`, `KX2-334K`; tokens in `taken` are left alone."""
    found = []
    at = 0
    while at < len(tokens):
        run, spelled, end = _run(tokens, at, taken)
        if len(run) >= _SHORTEST and any(c.isdigit() for c in run) and any(c.isalpha() for c in run) and end > at:
            start, stop = tokens[at].start, tokens[end - 1].end
            found.append(Figure("code", at, end, start, stop, text[start:stop], text=run.upper(), spelled=spelled))
            at = end
        else:
            at += 1
    return tuple(found)


def _run(tokens: tuple[Token, ...], at: int, taken: set[int]) -> tuple[str, bool, int]:
    if not _atom(tokens, at, taken) or tokens[at].low in _STRONG:
        return "", False, at
    text, spelled, end = "", False, at
    while end < len(tokens) and len(text) <= _LONGEST:
        low = tokens[end].low
        if low in _DASHES and text and _atom(tokens, end + 1, taken):
            end += 1
            continue
        if not _atom(tokens, end, taken):
            break
        if low in _TIMES:
            doubled = tokens[end + 1].low
            text += str(DIGITS.get(doubled, _LETTER_NAMES.get(doubled, doubled))) * _TIMES[low]
            spelled, end = True, end + 2
            continue
        number = numeral_at(tokens, end) if low in DIGITS or not low.isdigit() else None
        if number is not None and number.spelled and low not in ("a", "oh") and len(low) > 1:
            text, spelled, end = text + f"{number.readings[0].value:.0f}", True, number.end
        elif low == "oh":
            text, end = text + "0", end + 1
        else:
            text, end = text + _LETTER_NAMES.get(low, low), end + 1
    while end > at and tokens[end - 1].low in _STRONG | _DASHES:
        end -= 1
    return text, spelled, end


def _atom(tokens: tuple[Token, ...], at: int, taken: set[int]) -> bool:
    """Whether a token can belong to a part number: a letter, digits, a spoken digit or letter, capitals."""
    if at >= len(tokens) or at in taken:
        return False
    token = tokens[at]
    low = token.low
    if low.replace(".", "").isdigit():
        return "." not in low
    if len(low) == 1:
        return low.isalpha() and low.isascii() and (low not in "ai" or _between(tokens, at))
    if token.text.isupper() and token.text.isalpha() and len(low) <= 4:
        return True
    if low in _TIMES:
        return at + 1 < len(tokens) and (len(tokens[at + 1].low) == 1 or tokens[at + 1].low in DIGITS)
    if low in _STRONG or (low in DIGITS and low != "oh") or numeral_at(tokens, at) is not None:
        return True
    return (low == "oh" or low in _LETTER_NAMES) and _between(tokens, at)


def _between(tokens: tuple[Token, ...], at: int) -> bool:
    """A letter's name or an article counts only beside another letter or digit."""
    beside = [tokens[n].low for n in (at - 1, at + 1) if 0 <= n < len(tokens)]
    return any(
        (len(low) == 1 and low.isalpha() and low not in "ai") or low.isdigit() or low in DIGITS for low in beside
    )
