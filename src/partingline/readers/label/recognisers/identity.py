"""What is said after its own name: `Model: TN-65C`, `Made in ...`, `Average efficiency: 91.2%`."""

import re

from partingline.readers.label.recognisers.electrical import quantity_at
from partingline.readers.label.recognisers.words_matching import any_of
from partingline.readers.label.state import Line, State, keep
from partingline.readers.label.words import INPUT, KEYED, NAMED, OUTPUT

_KEYED = tuple((what, unit, any_of(names)) for what, (unit, names) in KEYED.items())
_NAMED = tuple((what, any_of(names)) for what, names in NAMED.items())
_COLON = re.compile(r"\s*[:.=#]?\s*")
_NAMES = (*NAMED.values(), *(names for _, names in KEYED.values()))
_NEXT = "|".join(re.escape(word) for names in _NAMES for word in names if len(word) > 3)
_SECTION = "|".join(re.escape(word) for word in (*INPUT, *OUTPUT))
_TEXT = re.compile(rf"[^\s,;|].*?(?=\s{{2,}}|\s*[,;|]|\.\s|\s+(?:{_NEXT}|{_SECTION})\b|\s*$)", re.IGNORECASE)
_LONE = (("degC", "ambient_temperature"), ("m", "altitude"))


def keyed(line: Line, start: int, state: State) -> int | None:
    """A quantity behind its name; a temperature or an altitude also without."""
    for what, unit, pattern in _KEYED:
        name = pattern.match(line.alike, start)
        colon = _COLON.match(line.alike, name.end()) if name else None
        found = quantity_at(line, colon.end(), unit) if colon else None
        if found is not None:
            keep(state, line, start, found.end, what, found.readings)
            return found.end
    for unit, what in _LONE:
        found = quantity_at(line, start, unit)
        if found is not None:
            keep(state, line, start, found.end, what, found.readings)
            return found.end
    return None


def named(line: Line, start: int, state: State) -> int | None:
    """Words behind their name, up to a wide gap, a comma or the next name."""
    for what, pattern in _NAMED:
        name = pattern.match(line.alike, start)
        colon = _COLON.match(line.alike, name.end()) if name else None
        text = _TEXT.match(line.alike, colon.end()) if colon else None
        if text is not None and (what == "origin" or _is_said(line, name, colon)):
            words = line.printed[text.start() : text.end()].rstrip()
            words = words[:-1] if words.count(".") == 1 and words.endswith(".") else words
            state.say(line, start, text.end(), what, words=words)
            return text.end()
    return None


def _is_said(line: Line, name: re.Match[str] | None, colon: re.Match[str] | None) -> bool:
    """A short name such as SN must be followed by a colon or a space."""
    return name is not None and colon is not None and (colon.end() > name.end() or not name[0].isascii())
