"""Quantities as people write them. Expected values: by definition of the SI prefixes (SI Brochure)."""

import contextlib
import math
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partingline.readers.quantities import (
    AmbiguousQuantity,
    QuantityError,
    find_quantities,
    parse_quantity,
)

PLAIN = [
    ("47 µF", 47e-6, "F"),
    ("47uF", 47e-6, "F"),
    ("0.33 MFD", 0.33e-6, "F"),
    ("65 W", 65.0, "W"),
    ("65w", 65.0, "W"),
    ("2.5 A", 2.5, "A"),
    ("1600 MA", 1.6, "A"),
    ("12 mΩ", 12e-3, "Ω"),
    ("12 mohm", 12e-3, "Ω"),
    ("1,6 A", 1.6, "A"),
    ("3,15 A", 3.15, "A"),
    ("0,315 A", 0.315, "A"),
    ("1.5 kV", 1500.0, "V"),
    ("4.31 mm", 4.31e-3, "m"),
    ("12 min", 720.0, "s"),
    ("1h30", 5400.0, "s"),
    ("1 h 5 min", 3900.0, "s"),
    ("38 °C", 38.0, "degC"),
    ("105℃", 105.0, "degC"),
    ("77 °F", 25.0, "degC"),
    ("−40 °C", -40.0, "degC"),
    ("45 K", 45.0, "K"),
    ("5000 m", 5000.0, "m"),
    ("10 000 h", 36e6, "s"),
    ("10\u202f000 h", 36e6, "s"),
    ("1.234,5 V", 1234.5, "V"),
    ("1,234,567 Hz", 1234567.0, "Hz"),
    ("10000 mAh", 36000.0, "C"),
    ("99.9 Wh", 359640.0, "J"),
    ("30 VA", 30.0, "VA"),
    ("3 var", 3.0, "var"),
    ("1.2 W/cm³", 1.2e6, "W/m³"),
    ("50 ppm/K", 50e-6, "1/K"),
    ("50 ppm/°C", 50e-6, "1/K"),
    ("6 W/mK", 6.0, "W/mK"),
    ("0.5 A²s", 0.5, "A²s"),
    ("3×10^3 V", 3000.0, "V"),
    ("1e3 V", 1000.0, "V"),
    ("94 %", 0.94, "1"),
    # IEC 60062 letter for the decimal point
    ("4R7", 4.7, "Ω"),
    ("R47", 0.47, "Ω"),
    ("4K7", 4700.0, "Ω"),
    ("2M2", 2.2e6, "Ω"),
    ("4n7", 4.7e-9, "F"),
    ("p33", 0.33e-12, "F"),
    ("2u2", 2.2e-6, "F"),
    ("5V1", 5.1, "V"),
    ("4.7k", 4700.0, "Ω"),
    ("2.2n", 2.2e-9, "F"),
]


@pytest.mark.parametrize(("text", "value", "unit"), PLAIN)
def test_plain_quantity(text: str, value: float, unit: str) -> None:
    quantity = parse_quantity(text)
    assert quantity.value == pytest.approx(value, rel=1e-14)
    assert quantity.unit == unit
    assert quantity.text == text


def test_decimal_submultiples_are_the_nearest_float() -> None:
    assert parse_quantity("82 µF").value == 82e-6
    assert parse_quantity("1.1 nF").value == 1.1e-9
    assert parse_quantity("0.1 µF").value == 0.1e-6


@pytest.mark.parametrize(
    ("text", "low", "high", "unit", "form"),
    [
        ("100–240 V~", 100.0, 240.0, "V", "ac"),
        ("100-240Vac", 100.0, 240.0, "V", "ac"),
        ("100V~240V", 100.0, 240.0, "V", ""),
        ("3.3V-11V", 3.3, 11.0, "V", ""),
        ("−40…+85 °C", -40.0, 85.0, "degC", ""),
        ("0 to 40 °C", 0.0, 40.0, "degC", ""),
        ("50 - 60 Hz", 50.0, 60.0, "Hz", ""),
        ("0,5 bis 1,5 A", 0.5, 1.5, "A", ""),
    ],
)
def test_interval(text: str, low: float, high: float, unit: str, form: str) -> None:
    quantity = parse_quantity(text)
    assert (quantity.low, quantity.high) == (pytest.approx(low), pytest.approx(high))
    assert (quantity.unit, quantity.form, quantity.sense) == (unit, form, "within")


# JCGM 100:2008, 7.2.2 (forms 2 and 4) and 7.2.4 (a coverage factor is stated): 100.021 47 g, u = 0.35 mg.
@pytest.mark.parametrize(
    ("text", "value", "u"),
    [
        ("25.8 ± 0.3 µF", 25.8e-6, 0.3e-6),
        ("(25.8 ± 0.3) µF", 25.8e-6, 0.3e-6),
        ("25.8(3) µF", 25.8e-6, 0.3e-6),
        ("100.02147(35) g", 0.10002147, 0.35e-6),
        ("74 ± 2 °C (k=2)", 74.0, 1.0),
        ("77 °F ± 1.8 °F (k = 2)", 25.0, 0.5),
        ("25 °C ± 0.5 K", 25.0, 0.5),
        ("20.05 V +/- 10 mV, k=2", 20.05, 0.005),
        ("200 V ± 1 % (k=2)", 200.0, 1.0),
    ],
)
def test_uncertainty(text: str, value: float, u: float) -> None:
    quantity = parse_quantity(text)
    assert quantity.value == pytest.approx(value)
    assert quantity.u == pytest.approx(u)
    assert quantity.sense == "equals"


def test_plus_minus_without_coverage_factor_says_what_was_assumed() -> None:
    assert "one standard uncertainty" in parse_quantity("25.8 ± 0.3 µF").notes[0]
    assert parse_quantity("25.8 ± 0.3 µF (k=1)").notes == ()


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [("27 µF ±20 %", 21.6e-6, 32.4e-6), ("27 µF -20/+80 %", 21.6e-6, 48.6e-6), ("4R7 ±5%", 4.465, 4.935)],
)
def test_tolerance_band(text: str, low: float, high: float) -> None:
    quantity = parse_quantity(text)
    assert quantity.sense == "nominal"
    assert (quantity.low, quantity.high) == (pytest.approx(low), pytest.approx(high))


@pytest.mark.parametrize(
    ("text", "sense", "bound"),
    [
        ("up to 94 %", "at most", 0.94),
        ("bis zu 65 W", "at most", 65.0),
        ("max 60 mV p-p", "at most", 0.06),
        ("65W Max", "at most", 65.0),
        ("< 0.1 W", "at most", 0.1),
        ("≥ 5 MΩ", "at least", 5e6),
        ("min. 2 A", "at least", 2.0),
        ("at least 5000 m", "at least", 5000.0),
    ],
)
def test_bounds(text: str, sense: str, bound: float) -> None:
    quantity = parse_quantity(text)
    assert quantity.sense == sense
    assert (quantity.low, quantity.high) == ((bound, None) if sense == "at least" else (None, bound))


@pytest.mark.parametrize(
    ("text", "form"),
    [
        ("230 V~", "ac"), ("230 Vac", "ac"), ("230 V AC", "ac"), ("230 V a.c.", "ac"), ("230Vrms", "rms"),
        ("5V⎓", "dc"), ("5V=", "dc"), ("5V---", "dc"), ("5 VDC", "dc"), ("60 mVpp", "p-p"),
        ("60 mV p-p", "p-p"), ("325 V peak", "peak"), ("1.6 A~", "ac"),
    ],
)  # fmt: skip
def test_form_of_a_voltage(text: str, form: str) -> None:
    assert parse_quantity(text).form == form


def test_thousands_or_decimal_comma_is_reported_not_guessed() -> None:
    with pytest.raises(AmbiguousQuantity, match="10800 s or 1\\.08e\\+07 s") as caught:
        parse_quantity("3,000 h")
    assert [reading.value for reading in caught.value.readings] == [10800.0, 10.8e6]
    assert parse_quantity("3,000 h", decimal=".").value == 10.8e6
    assert parse_quantity("3,000 h", decimal=",").value == 10800.0


def test_kelvin_or_kilohm_is_decided_by_the_expected_unit() -> None:
    with pytest.raises(AmbiguousQuantity):
        parse_quantity("10K")
    assert parse_quantity("10K", unit="Ω").value == 10e3
    assert parse_quantity("10K", unit="K").value == 10.0


def test_expected_unit_stands_in_and_is_enforced() -> None:
    assert parse_quantity("47", unit="µF").unit == "F"
    assert parse_quantity("47 ± 2 (k=2)", unit="mm").u == pytest.approx(1e-3)
    assert parse_quantity("9 - 12", unit="V").high == 12.0
    with pytest.raises(QuantityError, match="is a voltage: expected a capacitance, such as 47 µF"):
        parse_quantity("5 V", unit="F")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("47 voltt", "Did you mean volt"),
        ("5 milliV", "Unknown unit 'milliV'"),
        ("abc", "expected a number with a unit, such as 47 µF"),
        ("12", "expected a unit behind the number"),
        ("", "expected a number with a unit"),
        ("5V 3A", "Cannot read '3A' behind '5V'"),
        ("65 WW", "Did you mean W"),
        ("5 V ± 3 A", "± 3 A"),
        ("240-100 V", "240-100 V"),
        ("1e999 V", "expected a number with a unit"),
    ],
)
def test_error_says_what_was_expected(text: str, says: str) -> None:
    with pytest.raises(QuantityError, match=says.replace("+", "\\+")):
        parse_quantity(text)


def test_running_text() -> None:
    text = "65 W fast charging, up to 94 % efficiency, 118 g, 5V3A, C1 and 3,000 h; model TN65 of 2024"
    found = find_quantities(text)
    assert [text[one.start : one.end] for one in found] == [
        "65 W",
        "up to 94 %",
        "118 g",
        "5V",
        "3A",
        "3,000 h",
    ]
    assert [len(one.readings) for one in found] == [1, 1, 1, 1, 1, 2]


@given(st.one_of(st.text(max_size=30), st.text(alphabet="0123456789.,±()+-~/ VAWkmµΩFRK%°=", max_size=15)))
def test_any_text_is_read_or_refused(text: str) -> None:
    with contextlib.suppress(QuantityError):
        assert math.isfinite(parse_quantity(text).value)
    for found in find_quantities(text):
        assert found.readings
        assert 0 <= found.start < found.end <= len(text)


def test_speed() -> None:
    texts = [text for text, _, _ in PLAIN] * 20
    best = min(_seconds(texts) for _ in range(5))
    assert best / len(texts) < 50e-6


def _seconds(texts: list[str]) -> float:
    start = time.perf_counter()
    for text in texts:
        parse_quantity(text)
    return time.perf_counter() - start
