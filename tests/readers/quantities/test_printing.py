"""Printing, and the round trip print -> parse."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partingline.readers.quantities import QuantityError, convert, format_quantity, parse_quantity

THIN = "\u202f"
UNITS = [
    "F",
    "H",
    "Ω",
    "V",
    "A",
    "W",
    "Hz",
    "s",
    "m",
    "m²",
    "m³",
    "kg",
    "J",
    "T",
    "VA",
    "1/K",
    "W/m³",
    "K",
    "kg/m³",
]


def plain(value: float, unit: str, u: float | None = None, shown: str | None = None) -> str:
    return format_quantity(value, unit, u, shown=shown).replace(THIN, " ")


# The prefixes are trade habit: common practice, no source.
@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (47e-6, "F", "47 µF"), (0.47e-6, "F", "0.47 µF"), (4700e-6, "F", "4700 µF"), (47e-9, "F", "47 nF"),
        (220e-12, "F", "220 pF"), (0.012, "Ω", "12 mΩ"), (4700.0, "Ω", "4.7 kΩ"), (65.0, "W", "65 W"),
        (0.075, "W", "75 mW"), (3.25, "A", "3.25 A"), (1500.0, "V", "1500 V"), (4.31e-3, "m", "4.31 mm"),
        (0.118, "kg", "118 g"), (-40.0, "degC", "−40 °C"), (1.2e6, "W/m³", "1.2 W/cm³"),
        (36000.0, "C", "10 000 mAh"), (0.0, "V", "0 V"), (100e3, "Hz", "100 kHz"), (0.94, "1", "0.94"),
        (90.0, "degree", "90°"),
    ],
)  # fmt: skip
def test_prefix_as_the_trade_writes(value: float, unit: str, text: str) -> None:
    assert plain(value, unit) == text


# JCGM 100:2008, 7.2.6: at most two significant digits of the uncertainty, the value to the same place;
# its example 10.057 62 Ω with u = 27 mΩ is printed 10.058 Ω.
@pytest.mark.parametrize(
    ("value", "unit", "u", "text"),
    [
        (10.05762, "Ω", 0.027, "10.058 ± 0.027 Ω"),
        (25.8e-6, "F", 0.3e-6, "25.80 ± 0.30 µF"),
        (74.0, "degC", 1.0, "74.0 ± 1.0 °C"),
        (0.0999999, "V", 0.000996, "100.0 ± 1.0 mV"),
        (123456.0, "V", 2345.0, "123.5 ± 2.3 kV"),
        (20.05, "V", 0.0, "20.05 V"),
    ],
)
def test_uncertainty_is_rounded_as_the_gum_asks(value: float, unit: str, u: float, text: str) -> None:
    assert plain(value, unit, u) == text


def test_shown_unit_can_be_chosen() -> None:
    assert plain(0.9025, "1", 0.00187, shown="%") == "90.25 ± 0.19 %"
    assert plain(25.0, "degC", shown="°F") == "77 °F"
    assert plain(720.0, "s", shown="min") == "12 min"
    with pytest.raises(QuantityError, match="not the same dimension"):
        format_quantity(1.0, "V", shown="A")


@pytest.mark.parametrize(("value", "u"), [(math.nan, None), (math.inf, None), (1.0, -0.1), (1.0, math.nan)])
def test_not_finite_is_refused(value: float, u: float | None) -> None:
    with pytest.raises(QuantityError, match="finite"):
        format_quantity(value, "V", u)


@given(st.floats(1e-11, 9e8), st.sampled_from(UNITS), st.booleans())
def test_round_trip_of_a_value(size: float, unit: str, negative: bool) -> None:
    value = -size if negative else size
    read = parse_quantity(format_quantity(value, unit, digits=12))
    assert read.unit == unit
    assert read.value == pytest.approx(value, rel=1e-11)


@given(st.floats(1e-9, 9e8), st.floats(1e-4, 0.3), st.sampled_from(UNITS))
def test_round_trip_of_value_and_uncertainty(value: float, share: float, unit: str) -> None:
    u = share * value
    read = parse_quantity(format_quantity(value, unit, u))
    assert read.u == pytest.approx(u, rel=0.051)
    assert abs(read.value - value) <= 0.051 * u


@given(
    st.floats(-1e6, 1e6),
    st.sampled_from([("V", "mV"), ("degC", "°F"), ("kg", "oz"), ("C", "mAh"), ("m", "in")]),
)
def test_conversion_there_and_back(value: float, units: tuple[str, str]) -> None:
    there = convert(value, *units)
    assert convert(there, units[1], units[0]) == pytest.approx(value, rel=1e-12, abs=1e-9)
