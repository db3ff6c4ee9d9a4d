"""The words that would be right, in the manner in which the wrong ones were said: in digits or in words."""

from partingline.facts.show import split, split_u
from partingline.facts.spoken.types import Spoken
from partingline.model import Interval, Number, Sense, Text
from partingline.readers.words import say_number, say_unit


def correction(one: Spoken) -> str:
    """What should stand instead of the figure's words; '' where the fact gives no number or text."""
    statement = one.against or (one.fact.preferred if one.fact else None)
    if statement is None or one.fact is None:
        return ""
    value, quantity = statement.value, statement.key.quantity
    if isinstance(value, Text):
        return value.text
    if isinstance(value, Interval):
        if one.figure.readings and one.figure.readings[0].high is None and one.expected is not None:
            number, unit = split(one.expected, quantity)
            return _said(one, number, unit)
        high, unit = split(value.high, quantity)
        low, _ = split(value.low, quantity, unit=unit)
        if one.figure.spelled:
            return f"{say_number(low)} to {say_number(high)} {say_unit(unit)}"
        return f"{low} to {high} {unit}"
    number, unit = _number(value, statement.sense, quantity)
    return _said(one, number, unit)


def _number(value: Number, sense: Sense, quantity: str) -> tuple[str, str]:
    if value.u and sense is not Sense.NOMINAL:
        number, _, unit = split_u(value.value, value.u, quantity)
        return number, unit
    return split(value.value, quantity)


def _said(one: Spoken, number: str, unit: str) -> str:
    figure = one.figure
    if figure.kind == "dimension" and not figure.unit_words:
        return say_number(number) if figure.spelled else number
    if not figure.unit_words and not figure.unit:
        return say_number(number) if figure.spelled else number
    if figure.spelled:
        return f"{say_number(number)} {say_unit(unit, one=_is_single(figure.unit_words))}".rstrip()
    in_words = figure.unit_words[:1].islower() and len(figure.unit_words) > 3
    return f"{number} {say_unit(unit, one=_is_single(figure.unit_words)) if in_words else unit}".rstrip()


def _is_single(unit_words: str) -> bool:
    last = unit_words.rsplit(" ", 1)[-1].lower()
    return bool(last) and not last.endswith("s") and last not in ("hertz", "percent", "celsius") and len(last) > 2
