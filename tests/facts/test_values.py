"""A text as people write it becomes a value with causes. Own definition in `facts/statements/values.py`; JCGM 100:2008,
4.3.7 (bounds are half-widths of a rectangle) and F.2.2.1 (the last digit).
"""

import math

import pytest

from partingline.facts.statements.values import last_digit, read_value
from partingline.model import Interval, Key, Number, Sense, Shape, Text
from partingline.readers.logs.accuracy import parse_accuracy
from partingline.readers.quantities import parse_quantity

C3 = Key.of("part:C3", "capacitance")


def number(text: str, key: Key = C3, **more: object) -> Number:
    value = read_value(text, key, **more).value  # type: ignore[arg-type]
    assert isinstance(value, Number)
    return value


def test_a_stated_uncertainty_is_taken() -> None:
    read = number("81.2 ± 0.6 µF", instrument="LC1", accuracy=parse_accuracy("0.5 % rdg", "F"))
    assert read.value == pytest.approx(81.2e-6)
    assert [component.cause for component in read.components] == ["reading:part:C3/capacitance:LC1"]


def test_else_the_accuracy_of_the_instrument_which_its_readings_share() -> None:
    """JCGM 100:2008, 4.3.7: ± 0.5 % of 80 µF is 0.4 µF / √3."""
    accuracy = parse_accuracy("0.5 % rdg", "F")
    read = number("80.0 µF", instrument="LC1", accuracy=accuracy)
    assert read.u == pytest.approx(0.4e-6 / math.sqrt(3))
    other = number("20.0 µF", Key.of("part:C4", "capacitance"), instrument="LC1", accuracy=accuracy)
    assert [c.cause for c in read.components] == [c.cause for c in other.components] == ["LC1/capacitance/gain"]


def test_else_half_the_last_digit() -> None:
    """JCGM 100:2008, F.2.2.1: a resolution of δx gives u = 0.29 δx."""
    read = read_value("81.2 µF", C3)
    assert isinstance(read.value, Number)
    assert read.value.u == pytest.approx(0.1e-6 / math.sqrt(12))
    assert read.value.components[0].shape is Shape.RECTANGULAR
    assert "half the last digit" in read.note


@pytest.mark.parametrize(("text", "step"), [("81.2 µF", 1e-7), ("2,50 A", 0.01), ("47 kΩ", 1000.0), ("23.4 °C", 0.1)])
def test_the_last_digit_in_si(text: str, step: float) -> None:
    assert last_digit(parse_quantity(text)) == pytest.approx(step)


def test_senses() -> None:
    tolerance = read_value("82 µF ± 20 %", C3)
    assert tolerance.sense is Sense.NOMINAL
    assert isinstance(tolerance.value, Number)
    assert tolerance.value.components[0].width == pytest.approx(16.4e-6)
    assert tolerance.value.components[0].cause == "tolerance:part:C3/capacitance"
    within = read_value("100-240 V", Key.of("unit", "rated_input_voltage"))
    assert (within.value, within.sense) == (Interval(100.0, 240.0), Sense.WITHIN)
    assert read_value("≥ 3 A", Key.of("port:C1", "output_current")).sense is Sense.AT_LEAST
    assert read_value(" X2 ", Key.of("part:C1", "safety_class")).value == Text("X2")


def test_a_rating_is_borne_and_has_no_last_digit() -> None:
    borne = read_value("400 V", Key.of("part:C3", "rated_voltage"), rating=True)
    assert (borne.value, borne.sense) == (Number(400.0), Sense.AT_LEAST)
    plain = read_value("12 mΩ", Key.of("part:Q6", "on_resistance"), rating=True)
    assert (plain.value, plain.sense) == (Number(pytest.approx(0.012)), Sense.EQUALS)  # type: ignore[arg-type]


def test_decimal_comma_of_a_spreadsheet() -> None:
    assert number("3,15 A", Key.of("part:F1", "rated_current"), decimal_comma=True, rating=True).value == 3.15


@pytest.mark.parametrize(
    ("text", "key", "told"), [("12 V", C3, "V"), ("x", C3, "x"), ("1 g", Key.of("unit", "mas"), "unknown quantity")]
)
def test_what_is_no_such_quantity_says_so(text: str, key: Key, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        read_value(text, key)
