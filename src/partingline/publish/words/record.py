"""`partingline words --json`: every figure with its place, class, fact, routes and correction."""

from typing_extensions import TypedDict

from partingline import __version__
from partingline.facts.show import key_text, show_fact, show_statement
from partingline.facts.spoken import Checked, Spoken, routes_of

VERSION = 1


class HeldRecord(TypedDict):
    """The fact that a figure speaks of. `expected` in SI units."""

    id: str
    name: str
    shown: str
    routes: dict[str, str]
    expected: float | None


class FigureRecord(TypedDict):
    """One figure. `time` in seconds, null without times; `values` and `high` in SI units of `unit`; `off` a share."""

    time: float | None
    line: int
    words: str
    kind: str
    says: str
    value: float | None
    high: float | None
    unit: str
    fact: HeldRecord | None
    off: float | None
    others: list[str]
    instead: str
    sentence: str


class WordsRecord(TypedDict):
    """`partingline words --json`."""

    schema: str
    version: int
    program: str
    unit: str
    file: str
    counts: dict[str, int]
    figures: list[FigureRecord]
    never_said: list[str]


def words_record(checked: Checked, unit: str, file: str) -> WordsRecord:
    """The whole record."""
    counts: dict[str, int] = {}
    for one in checked.spoken:
        counts[one.class_.value] = counts.get(one.class_.value, 0) + 1
    return WordsRecord(
        schema="partingline.words",
        version=VERSION,
        program=__version__,
        unit=unit,
        file=file,
        counts=counts,
        figures=[_figure(one) for one in checked.spoken],
        never_said=[fact.key.id for fact in checked.never_said],
    )


def _figure(one: Spoken) -> FigureRecord:
    reading = one.reading or (one.figure.readings[0] if one.figure.readings else None)
    return FigureRecord(
        time=one.time_s,
        line=one.line,
        words=one.figure.words,
        kind=one.figure.kind,
        says=one.class_.value,
        value=reading.value if reading else None,
        high=reading.high if reading else None,
        unit=one.figure.unit,
        fact=_held(one),
        off=one.off,
        others=[key.id for key in one.others],
        instead=one.instead,
        sentence=one.sentence,
    )


def _held(one: Spoken) -> HeldRecord | None:
    fact = one.fact
    if fact is None:
        return None
    routes = {
        route.value: next(show_statement(s) for s in fact.statements if s.route is route) for route in routes_of(one)
    }
    return HeldRecord(
        id=fact.key.id, name=key_text(fact.key), shown=show_fact(fact), routes=routes, expected=one.expected
    )
