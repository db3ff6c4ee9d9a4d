"""Marks: efficiency level, class II, ingress protection, certification words, protocols, uses."""

import re

from partingline.readers.label.recognisers.words_matching import any_of
from partingline.readers.label.state import Line, State
from partingline.readers.label.words import CERTIFICATIONS, CLASS_II, KINDS, USES

_LEVEL = r"VII|VI|IV|V|III|Ⅵ"
_EFFICIENCY = re.compile(
    rf"(?i:(?:energy\s*)?efficiency\s*(?:level|mark)?|level|能效等级)\s*[:=]?\s*\(?(?P<level>{_LEVEL})(?![A-Za-z0-9])\)?"
    r"|(?<![A-Za-z0-9])\(?(?P<alone>VI|Ⅵ)\)?(?![A-Za-z0-9])"
)
_INGRESS = re.compile(r"IP ?(?P<code>[0-6X][0-9X][A-D]?)(?![A-Za-z0-9])")
_PROTOCOL = re.compile(
    r"(?i:(?:USB[- ]?)?(?:PD|Power Delivery))\s?\d(?:\.\d)?|PD\b|PPS\b|BC ?1\.2"
    r"|(?:QC|SCP|FCP|AFC|UFCS|VOOC|PE)\s?\d?(?:\.\d)?\+?(?![A-Za-z])"
)
_TECHNOLOGY = re.compile(r"GaN(?: ?I{1,3})?(?![A-Za-z])")
_CERTIFICATION = re.compile(any_of(CERTIFICATIONS, exact=True).pattern + r"|E\d{6}(?!\d)|R\d{5,8}(?!\d)")
_CLASS_II, _USES, _KINDS = any_of(CLASS_II), any_of(USES), any_of(KINDS)


def efficiency_mark(line: Line, start: int, state: State) -> int | None:
    """`Efficiency Level VI`, `VI`."""
    found = _EFFICIENCY.match(line.alike, start)
    if found is None:
        return None
    level = (found["level"] or found["alone"]).replace("Ⅵ", "VI")
    state.say(line, start, found.end(), "efficiency_mark", words=level)
    return found.end()


def insulation(line: Line, start: int, state: State) -> int | None:
    """`Class II`, the square in a square."""
    return _words(line, start, state, _CLASS_II, "insulation_class", "II")


def unit_kind(line: Line, start: int, state: State) -> int | None:
    """`AC/DC ADAPTER`."""
    return _words(line, start, state, _KINDS, "unit_kind")


def ingress(line: Line, start: int, state: State) -> int | None:
    """`IP20`."""
    return _words(line, start, state, _INGRESS, "ingress_protection")


def protocol(line: Line, start: int, state: State) -> int | None:
    """`PD 3.0`, `QC4+`."""
    return _words(line, start, state, _PROTOCOL, "protocol")


def technology(line: Line, start: int, state: State) -> int | None:
    """`GaN`."""
    return _words(line, start, state, _TECHNOLOGY, "technology")


def use(line: Line, start: int, state: State) -> int | None:
    """`For indoor use only`, `LPS`."""
    return _words(line, start, state, _USES, "use")


def certification(line: Line, start: int, state: State) -> int | None:
    """`CE`, `cULus`, file numbers. That a word is printed says nothing of whether it may be."""
    return _words(line, start, state, _CERTIFICATION, "certification")


def _words(line: Line, start: int, state: State, pattern: re.Pattern[str], what: str, words: str = "") -> int | None:
    found = pattern.match(line.alike, start)
    if found is None:
        return None
    state.say(line, start, found.end(), what, words=words or line.printed[start : found.end()])
    return found.end()
