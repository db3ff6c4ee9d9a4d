"""Number words against num2words and text2num, general libraries; every difference is named and explained here."""
# ruff: noqa: E501

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words
from text_to_num import text2num

from partingline.readers.words import find_figures, say_number, tokens_of
from partingline.readers.words.numerals import numeral_at


def _read(text: str) -> float:
    tokens = tokens_of(text)
    numeral = numeral_at(tokens, 0)
    assert numeral is not None, text
    assert numeral.end == len(tokens), text
    return numeral.readings[0].value


@given(st.integers(0, 999_999))
def test_whole_numbers_as_num2words_says_them(number: int) -> None:
    said = num2words(number).replace(",", "")
    assert _read(said) == number
    assert text2num(said, "en") == number


@given(st.integers(0, 99_999), st.integers(0, 999))
def test_decimals_as_num2words_says_them(whole: int, fraction: int) -> None:
    value = float(f"{whole}.{fraction:03d}")
    assert _read(num2words(value).replace(",", "")) == pytest.approx(value, rel=1e-12)


@given(st.integers(0, 999_999_999))
def test_what_is_said_is_what_text2num_reads(number: int) -> None:
    assert text2num(say_number(str(number)), "en") == number


@given(st.integers(0, 9999), st.integers(0, 9999))
def test_what_is_said_is_read_back(whole: int, fraction: int) -> None:
    text = f"{whole}.{fraction}"
    assert _read(say_number(text)) == float(text)


@pytest.mark.parametrize(
    ("said", "value"),
    [
        ("two thirty", 230), ("one fifteen", 115), ("two sixty four", 264), ("one oh five", 105), ("fifteen hundred", 1500),
        ("point two", 0.2), ("oh point four seven", 0.47), ("three point twenty five", 3.25), ("three and a quarter", 3.25),
        ("two and a half", 2.5), ("half a", 0.5), ("three quarters of an", 0.75), ("a hundred and twenty", 120),
    ],
)  # fmt: skip
def test_trade_speech_that_the_general_libraries_do_not_read(said: str, value: float) -> None:
    """Voltages in pairs, decimals without a whole part, and fractions: common practice of speech, no source."""
    assert _read(said) == value


def test_the_differences_to_text2num() -> None:
    """It refuses paired numbers, or reads them as two; we read 230 and keep 2.30 as a second reading."""
    with pytest.raises(ValueError, match="invalid literal"):
        text2num("two thirty", "en")
    numeral = numeral_at(tokens_of("two thirty"), 0)
    assert numeral is not None
    assert [reading.value for reading in numeral.readings] == [230.0, 2.3]


@pytest.mark.parametrize(
    ("said", "value", "unit"),
    [
        ("zero point four seven microfarads", 0.47e-6, "F"), ("ten mil ohms", 0.010, "Ω"), ("7.8 milli homes", 0.0078, "Ω"),
        ("65-watt", 65.0, "W"), ("4 point 31 millimeters", 0.00431, "m"), ("ninety-two point five percent", 0.925, "1"),
        ("1.36 W/cm³", 1.36e6, "W/m³"), ("1 hour 20 minutes", 4800.0, "s"), ("point three three mike row fair ads", 0.33e-6, "F"),
        ("thirty kilo hurts", 30e3, "Hz"), ("62.81 ± 0.04 W", 62.81, "W"), ("5 millivolts", 0.005, "V"),
    ],
)  # fmt: skip
def test_units_said_written_and_misheard(said: str, value: float, unit: str) -> None:
    figures = find_figures(said)
    assert len(figures) == 1, figures
    assert figures[0].unit == unit
    assert figures[0].readings[0].value == pytest.approx(value, rel=1e-9)


def test_prefixed_units_against_pint() -> None:
    """Every unit said with a prefix has the factor that pint gives it."""
    import pint

    registry = pint.UnitRegistry()
    for prefix in ("pico", "nano", "micro", "milli", "kilo", "mega"):
        for name in ("volt", "ampere", "watt", "ohm", "farad", "henry", "hertz"):
            figure = find_figures(f"one {prefix}{name}")[0]
            expected = (
                registry.Quantity(1.0, prefix + name).to_base_units() / registry.Quantity(1.0, name).to_base_units()
            )
            assert figure.readings[0].value == pytest.approx(float(expected.magnitude), rel=1e-12), prefix + name


def test_ranges_dimensions_and_names() -> None:
    figures = find_figures(
        "100 to 240 volts, fifty or sixty hertz, 42 by 40 by 28.4 millimetres, C3 and KX2-334K, 20V3.25A"
    )
    assert [(f.kind, f.unit) for f in figures] == [
        ("quantity", "V"), ("quantity", "Hz"), ("dimension", "m"), ("dimension", "m"), ("dimension", "m"),
        ("quantity", "V"), ("quantity", "A"),
    ]  # fmt: skip
    assert figures[0].readings[0].high == 240.0
