"""A fact as it is written in a script, and as it is read aloud: in English in words, elsewhere with the unit's word."""

from dataclasses import dataclass

from partingline.facts.show import THIN, split, split_u
from partingline.model import Fact, Interval, Key, Number, Route, Sense, Statement, Text
from partingline.publish.words.languages import Language
from partingline.readers.words import say_number, say_quantity, say_unit

DIGITS = 3
ENGLISH = "en"


@dataclass(frozen=True, slots=True)
class Said:
    """Written and read aloud; the key where it is a figure."""

    text: str
    aloud: str
    key: Key | None = None


def say(fact: Fact, language: Language, route: str | None = None, number: float | None = None) -> Said | None:
    """A fact's figure by a route, or its preferred one; with a number, that number of the fact's quantity."""
    statement = _statement(fact, route)
    if number is not None:
        return _plain(*split(number, fact.key.quantity), None, language)
    if statement is None:
        return None
    value, quantity = statement.value, fact.key.quantity
    if isinstance(value, Text):
        return Said(value.text, value.text, fact.key)
    if isinstance(value, Interval):
        high, unit = split(value.high, quantity)
        low, _ = split(value.low, quantity, unit=unit)
        return _range(low, high, unit, fact.key, language)
    return _plain(*_rounded(value, statement, quantity), fact.key, language)


def _range(low: str, high: str, unit: str, key: Key, language: Language) -> Said:
    if language.id != ENGLISH:
        written = language(
            "range", low=language.number(low), high=language.number(high), unit=language.units.get(unit, unit)
        )
        return Said(written, written, key)
    written = language("range", low=low, high=high, unit=say_unit(unit))
    return Said(written, language("range", low=say_number(low), high=say_number(high), unit=say_unit(unit)), key)


def _statement(fact: Fact, route: str | None) -> Statement | None:
    if route is None:
        return fact.preferred
    return next((s for s in fact.statements if s.route is Route(route)), fact.preferred)


def _rounded(value: Number, statement: Statement, quantity: str) -> tuple[str, str]:
    """Value and unit; of a reading, the digits that its uncertainty leaves."""
    if value.u and statement.sense is not Sense.NOMINAL:
        number, _, unit = split_u(value.value, value.u, quantity)
        return _short(number), unit
    return split(value.value, quantity)


def _short(number: str) -> str:
    """Three significant digits are what a listener keeps; zeros behind the point say nothing."""
    value = float(number)
    rounded = f"{float(f'{value:.{DIGITS}g}'):.{len(number.partition('.')[2])}f}"
    return rounded.rstrip("0").rstrip(".") if "." in rounded else rounded


def _plain(number: str, unit: str, key: Key | None, language: Language) -> Said:
    if language.id != ENGLISH:
        written = language.quantity_aloud(number, unit).replace(THIN, " ")
        return Said(written, written, key)
    one = number == "1"
    return Said(f"{number} {say_unit(unit, one=one)}".replace(THIN, " ").rstrip(), say_quantity(number, unit), key)
