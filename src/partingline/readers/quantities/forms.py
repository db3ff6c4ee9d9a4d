"""The small grammars inside a quantity: qualifiers, units with their form, tolerances, `4R7`, `1h30`."""

import re
from dataclasses import dataclass

from partingline.readers.quantities.types import Quantity, Sense
from partingline.readers.quantities.units import Unit, find_unit

_SENSE_WORDS: tuple[tuple[Sense, str], ...] = (
    (
        "at most",
        "up to|bis zu|max|maximum|at most|höchstens|no more than|not more than|less than|under|below|≤|<=|<",
    ),
    (
        "at least",
        "min|minimum|at least|mind|mindestens|no less than|not less than|more than|over|above|≥|>=|>",
    ),
    ("nominal", "typ|typical|typically|nom|nominal|rated"),
    ("equals", "about|approx|approximately|around|ca|circa|etwa|~|≈"),
)
_SENSE: dict[str, Sense] = {word: sense for sense, words in _SENSE_WORDS for word in words.split("|")}
_WORDS = "|".join(sorted((re.escape(word) for word in _SENSE), key=len, reverse=True))
QUALIFIER = re.compile(rf"(?P<word>(?<!\w){_WORDS})(?:\.|:)?\s*(?=[(+\-−]?[.,]?[\dRpnuµ])", re.IGNORECASE)
_AFTER = re.compile(
    r"[\s,]*(?P<open>\()?\s*(?P<word>max|maximum|min|minimum|typ|typical|nom|nominal)(?![a-z])\.?(?(open)\s*\))",
    re.IGNORECASE,
)

_LETTERS = r"A-Za-zµμΩΩ°º℃℉%%‰\"″"
_UNIT = re.compile(
    rf"\s?(?P<one>deg [CF]\b|° [CF]\b|per cent|[{_LETTERS}]+[²³]?)"
    rf"(?P<more>(?:[/·*^]\(?[{_LETTERS}0-9]+[²³]?\)?|[{_LETTERS}]+)*)"
)
_ENDING = re.compile(r"(?P<unit>.+?)(?P<form>ac|dc|rms|pp|pk|peak|p|max|MAX|Max|AC|DC|RMS|PP|PK)")
_FORM = re.compile(
    r"\s?(?P<form>a\.?c\.?(?![a-z])|d\.?c\.?(?![a-z])|r\.?m\.?s\.?(?![a-z])|p-p|pk-pk|pp(?![a-z])|pk(?![a-z])|peak-to-peak|peak(?![a-z])|"
    r"[~∼∽～]|⎓|---|--(?!\d)|={1,3}|[⎯─―—][ ⎯─―—-]*)",
    re.IGNORECASE,
)
_FORMS = {
    "ac": "ac", "dc": "dc", "rms": "rms", "pp": "p-p", "p-p": "p-p", "pk-pk": "p-p", "peak-to-peak": "p-p",
    "pk": "peak", "p": "peak", "peak": "peak", "~": "ac", "∼": "ac", "∽": "ac", "～": "ac", "max": "",
}  # fmt: skip
_TOLERANCE = re.compile(r"\s*(?P<a>[+\-−]\s?\d+(?:[.,]\d+)?)\s?%?\s?[/,;]?\s?(?P<b>[+\-−]\s?\d+(?:[.,]\d+)?)\s?%")
_COVERAGE = re.compile(r"[\s,;]*\(?\s*k\s*=\s*(?P<k>\d+(?:[.,]\d+)?)\s*\)?")
_LETTER_POINT = re.compile(r"(?P<a>\d*)(?P<letter>[RrKkMGpnuµμmV])(?P<b>\d*)(?![\w.,])")
_LETTER_BEHIND = re.compile(r"(?P<number>\d+[.,]\d+)(?P<letter>[kKMGpnuµμ])(?![\w.,/·])")
_LETTER_UNITS = {
    "R": ("Ω", 0), "r": ("Ω", 0), "K": ("Ω", 3), "k": ("Ω", 3), "M": ("Ω", 6), "G": ("Ω", 9), "V": ("V", 0),
    "p": ("F", -12), "n": ("F", -9), "u": ("F", -6), "µ": ("F", -6), "μ": ("F", -6), "m": ("F", -3),
}  # fmt: skip
_CLOCK = re.compile(
    r"(?P<h>\d+) ?(?:h|hr|hrs|hours?) ?(?P<m>\d{1,2}) ?(?:min|mins|minutes?|m)?(?![\w.,])"
    r"|(?P<m2>\d+) ?(?:min|mins|minutes?) ?(?P<s>\d{1,2}) ?(?:s|sec|secs|seconds?)(?![\w.,])"
)


@dataclass(frozen=True, slots=True)
class UnitMatch:
    """A unit read up to character `end`, with the form of a voltage or current that is written onto it."""

    unit: Unit
    form: str
    end: int


def match_qualifier(text: str, start: int) -> tuple[Sense | None, str, int]:
    """`up to`, `≥`, `ca.` before a number: the sense, a note, and where the number starts."""
    found = QUALIFIER.match(text, start)
    if found is None:
        return None, "", start
    sense = _SENSE[found["word"].lower()]
    return sense, ("Written as approximate." if sense == "equals" else ""), found.end()


def match_qualifier_after(text: str, start: int) -> tuple[Sense | None, int]:
    """`max`, `min.`, `typ` behind a quantity."""
    found = _AFTER.match(text, start)
    return (_SENSE[found["word"].lower()], found.end()) if found else (None, start)


def match_unit(text: str, start: int) -> UnitMatch | None:
    """The longest unit at `start`, with `ac`, `dc`, `rms`, `p-p` where they are written."""
    token = _UNIT.match(text, start)
    if token is None:
        return None
    for spelled, end in ((token["one"] + token["more"], token.end()), (token["one"], token.end("one"))):
        if end < len(text) and text[end].isalpha() and end == token.end():
            continue
        unit = find_unit(spelled)
        if unit is not None:
            return _with_form(text, unit, end)
        ending = _ENDING.fullmatch(spelled)
        unit = find_unit(ending["unit"]) if ending else None
        if ending is not None and unit is not None:
            at_word = end - len(ending["form"]) if ending["form"].lower() == "max" else end
            return UnitMatch(unit, _FORMS[ending["form"].lower()], at_word)
    return None


def _with_form(text: str, unit: Unit, end: int) -> UnitMatch:
    form = _FORM.match(text, end) if unit.si in ("V", "A") else None
    if form is None:
        return UnitMatch(unit, "", end)
    return UnitMatch(unit, _FORMS.get(form["form"].lower().replace(".", ""), "dc"), form.end())


def match_tolerance(text: str, start: int) -> tuple[float, float, int] | None:
    """`-20/+80 %` as fractions, lower one first."""
    found = _TOLERANCE.match(text, start)
    if found is None:
        return None
    a, b = (float(found[name].replace("−", "-").replace(" ", "").replace(",", ".")) / 100 for name in "ab")
    return min(a, b), max(a, b), found.end()


def match_coverage(text: str, start: int) -> tuple[float | None, int]:
    """`(k=2)`: the coverage factor."""
    found = _COVERAGE.match(text, start)
    return (float(found["k"].replace(",", ".")), found.end()) if found else (None, start)


def match_letter_point(text: str, start: int) -> tuple[int, tuple[Quantity, ...]] | None:
    """`4R7`, `100n`: the letter is the decimal point (IEC 60062); `5V1` and `4.7k` are trade habit."""
    behind = _LETTER_BEHIND.match(text, start)
    if behind is not None:
        return behind.end(), _lettered(behind["number"].replace(",", "."), behind["letter"], behind[0])
    found = _LETTER_POINT.match(text, start)
    if found is None or not found["a"] + found["b"] or (found["letter"] in "mV" and not (found["a"] and found["b"])):
        return None
    if found["letter"] in "VKkMG" and not found["a"]:
        return None
    plain = f"{found['a'] or '0'}.{found['b'] or '0'}"
    return found.end(), _lettered(plain, found["letter"], found[0], may_be_kelvin=not found["b"])


def _lettered(number: str, letter: str, said: str, may_be_kelvin: bool = True) -> tuple[Quantity, ...]:
    unit, power = _LETTER_UNITS[letter]
    reading = Quantity(float(f"{number}e{power}"), unit, text=said)
    if letter == "K" and may_be_kelvin:
        return reading, Quantity(float(number), "K", text=said)
    return (reading,)


def match_clock(text: str, start: int) -> tuple[int, Quantity] | None:
    """`1h30`, `1 h 30 min`, `2 min 30 s`: a time in seconds."""
    found = _CLOCK.match(text, start)
    if found is None:
        return None
    hours, minutes, seconds = int(found["h"] or 0), int(found["m"] or found["m2"] or 0), int(found["s"] or 0)
    return found.end(), Quantity(3600.0 * hours + 60.0 * minutes + seconds, "s", text=found[0])
