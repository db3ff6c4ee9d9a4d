"""Accuracy statements. Sources: JCGM 100:2008, 4.3.7 (a rectangle of half-width a: u = a/√3) and 4.3.4 (a stated
coverage factor is divided out); the 20 V example of the standards facts ("% reading + % range").
"""

import math

import pytest

from partingline.model import Number, Shape
from partingline.readers.logs import AccuracyError, parse_accuracy

READ = {
    ("0.10 % rdg + 0.05 % of 100 W", "W"): (1e-3, 0.05, 0, None),
    ("0.05% of reading + 0.5 mA", "A"): (5e-4, 5e-4, 0, None),
    ("0.1 % + 2 digits", "V"): (1e-3, 0, 2, None),
    ("±(0.1 % + 0.05 % of 150 W)", "W"): (1e-3, 0.075, 0, None),
    ("± 0.5 K", "degC"): (0, 0.5, 0, None),
    ("±1,5 °C", "degC"): (0, 1.5, 0, None),
    ("1 % (k=2)", "W"): (1e-2, 0, 0, 2.0),
    ("0.02 % rdg + 0.01 % of range 10 A", "A"): (2e-4, 1e-3, 0, None),
    ("0.02 % of rdg + 0.01 % of 300 V range", "V"): (2e-4, 0.03, 0, None),
    ("20 ppm + 1e-3 V, k=2", "V"): (2e-5, 1e-3, 0, 2.0),
    ("0.5 % rdg", "F"): (5e-3, 0, 0, None),
    ("3 counts", "V"): (0, 0, 3, None),
}
REFUSED = {
    ("", "V"): "is no part of an accuracy statement",
    ("good", "V"): "is no part of an accuracy statement",
    ("0.1 % + 0.05 % range", "W"): "needs the range; write it as '0.02 % of 100 W'",
    ("1 % of 5 A", "V"): "A does not fit; expected V",
    ("0.1 % + 3 bananas", "V"): "unknown unit 'bananas'",
    ("1 % (k=0)", "V"): "coverage factor must be above 0",
}


@pytest.mark.parametrize(("text", "unit"), READ)
def test_statement_is_read(text: str, unit: str) -> None:
    gain, offset, digits, k = READ[text, unit]
    accuracy = parse_accuracy(text, unit)
    assert (accuracy.gain, accuracy.offset, accuracy.digits) == pytest.approx((gain, offset, digits))
    assert accuracy.k == k
    assert accuracy.text == text


@pytest.mark.parametrize(("text", "unit"), REFUSED)
def test_refusal_says_what_was_expected(text: str, unit: str) -> None:
    with pytest.raises(AccuracyError) as error:
        parse_accuracy(text, unit)
    assert REFUSED[text, unit] in str(error.value)


def test_reading_plus_range_is_a_rectangle() -> None:
    """20 V on a 100 V range, 0.025 % + 0.005 %: a = 10 mV, u = 5.77 mV where both parts are one rectangle; here the two
    parts are causes of their own (gain and offset), each a rectangle: JCGM 100:2008, 4.3.7 and eq. 10."""
    accuracy = parse_accuracy("0.025 % rdg + 0.005 % of 100 V", "V")
    assert accuracy.half_width(20.0) == pytest.approx(0.010)
    assert accuracy.half_width(20.0) / math.sqrt(3) == pytest.approx(5.77e-3, abs=0.005e-3)
    number = Number(20.0, accuracy.components(20.0, "DM1/port_voltage"))
    assert number.u == pytest.approx(math.hypot(0.005, 0.005) / math.sqrt(3))


def test_stated_coverage_factor_is_divided_out() -> None:
    """JCGM 100:2008, 4.3.4."""
    (component,) = parse_accuracy("1 % (k=2)", "W").components(50.0, "PA1/input_power")
    assert component.shape is Shape.NORMAL
    assert component.u == pytest.approx(0.25)


def test_digits_count_the_last_digit_of_the_reading() -> None:
    accuracy = parse_accuracy("0.1 % + 2 digits", "V")
    assert accuracy.half_width(10.0, step=0.01) == pytest.approx(0.03)


def test_readings_of_one_meter_share_gain_and_offset() -> None:
    """JCGM 100:2008, 5.2: a ratio of two readings of one meter does not know the gain error."""
    accuracy = parse_accuracy("0.1 % rdg + 0.05 % of 100 W", "W")
    small, large = (accuracy.components(value, "PA1/input_power") for value in (10.0, 70.0))
    assert [c.cause for c in small] == [c.cause for c in large] == ["PA1/input_power/gain", "PA1/input_power/offset"]
    assert small[0].width / 10.0 == pytest.approx(large[0].width / 70.0)
    assert small[1].width == large[1].width


@pytest.mark.parametrize(
    ("text", "ambient_c", "half_width"),
    [
        ("0.1 % rdg + 0.005 %/K", 23.0, 0.02),
        ("0.1 % rdg + 0.005 %/K", 33.0, 0.02 + 5 * 5e-5 * 20),
        ("0.1 % rdg; 50 ppm/K outside 20 to 25 °C", 15.0, 0.02 + 5 * 5e-5 * 20),
        ("0.1 % rdg + 0.005 % rdg/°C outside 18 °C to 28 °C", None, 0.02),
    ],
)
def test_temperature_coefficient(text: str, ambient_c: float | None, half_width: float) -> None:
    """As makers state it: so much of the reading for each kelvin outside 23 ± 5 °C (common practice, no source)."""
    accuracy = parse_accuracy(text, "V")
    assert accuracy.half_width(20.0, ambient_c=ambient_c) == pytest.approx(half_width)
    parts = accuracy.components(20.0, "DM1/port_voltage", ambient_c=ambient_c)
    assert [part.width for part in parts] == pytest.approx([half_width])
