"""Numbers as a reader sees them. Rounding: JCGM 100:2008, 7.2.6, whose examples are used; prefixes: SI brochure, 9th
edition, table 7; units of show are the glossary's (own definition).
"""

import pytest

from partingline.facts.show import THIN, condition_text, key_text, show, show_statement, show_value, subject_text
from partingline.model import Component, Interval, Key, Number, Route, Sense, Shape, Statement, Text


def plain(text: str) -> str:
    return text.replace(THIN, " ")


@pytest.mark.parametrize(
    ("value", "u", "quantity", "shown", "source"),
    [
        (10.05762, 0.027, "resistance", "10.058 ± 0.027 Ω", "JCGM 100:2008, 7.2.6: 10.057 62 Ω with 27 mΩ is 10.058 Ω"),
        (
            1.0e5,
            28.05,
            "switching_frequency",
            "100.000 ± 0.028 kHz",
            "JCGM 100:2008, 7.2.6: 28.05 kHz rounds to 28 kHz",
        ),
        (0.148, 0.0023, "no_load_power", "148.0 ± 2.3 mW", "two digits below 3.55"),
        (0.148, 0.00354, "no_load_power", "148.0 ± 3.5 mW", "just below the change of digits"),
        (0.148, 0.00356, "no_load_power", "148 ± 4 mW", "just above it"),
        (0.148, 0.0097, "no_load_power", "150 ± 10 mW", "a digit that carries"),
        (65.0, 0.0, "output_power", "65 W", "no uncertainty, none shown"),
        (0.9064, 0.0011, "average_efficiency", "90.64 ± 0.11 %", "percent"),
        (109e6, 11e6, "bulk_life", "30300 ± 3100 h", "hours stay hours"),
        (480e6, 0.0, "data_rate", "480 Mbit/s", "USB 2.0: as the standard writes its rate; 1 to 1000, common practice"),
        (10e9, 0.0, "data_rate", "10 Gbit/s", "as the standard writes it"),
        (0.142, 0.002, "resistance", "142.0 ± 2.0 mΩ", "milliohm below 1 Ω, as meters show it"),
        (4700.0, 0.0, "resistance", "4.7 kΩ", "IEC 60062 marks it 4K7"),
        (999.97, 0.0, "resistance", "1 kΩ", "four digits would be 1000"),
        (0.0, 1e-7, "capacitance", "0.00 ± 0.10 µF", "nought has no size of its own"),
        (1.0, float("inf"), "mass", "1000 g", "no bound on the uncertainty: none shown"),
    ],
)
def test_value_and_uncertainty_are_rounded_together(
    value: float, u: float, quantity: str, shown: str, source: str
) -> None:
    assert plain(show_value(value, quantity, u)) == shown, source


def test_the_uncertainty_is_never_rounded_by_more_than_15_percent() -> None:
    """Own definition in `facts/show.py`; JCGM 100:2008, 7.2.6 leaves it at one or two digits."""
    for n in range(100, 1000):
        u = n / 1e3
        shown = plain(show_value(5.0, "resistance", u)).split("± ")[1].removesuffix(" Ω")
        assert float(shown) == pytest.approx(u, rel=0.15)


@pytest.mark.parametrize(
    ("value", "quantity", "shown"),
    [
        (4.7e-11, "capacitance", "47 pF"),
        (0.000105, "capacitance", "105 µF"),
        (2e6, "resistance", "2 MΩ"),
        (12345.678, "turns_ratio", "12346"),
        (3.25, "output_current", "3.25 A"),
        (79.0, "part_temperature", "79 °C"),
        (0.1184, "mass", "118.4 g"),
        (1.0, "no such quantity", "1"),
    ],
)
def test_prefixes(value: float, quantity: str, shown: str) -> None:
    assert plain(show_value(value, quantity)) == shown


def test_statements_in_their_sense() -> None:
    key = Key.of("part:C3", "capacitance")
    class_ = Component("tolerance:x", 16.4e-6, Shape.RECTANGULAR)
    nominal = Statement(key, Number(82e-6, (class_,)), Route.MARKING, Sense.NOMINAL)
    assert plain(show_statement(nominal)) == "82 µF ± 20 %"
    assert plain(show(Interval(100.0, 240.0), "rated_input_voltage")) == "100–240 V"
    assert plain(show(Interval(50.0, 50.0), "rated_input_frequency")) == "50 Hz"
    assert show(Text("X2"), "safety_class") == "X2"


def test_names_of_facts() -> None:
    key = Key.of("port:C1", "efficiency", mains=115, offer=20, load=0.25, **{"with": "A1"})
    assert plain(condition_text(key)) == "25 % load, 115 V mains, 20 V, with A1"
    assert plain(key_text(Key.of("part:C3", "capacitance"))) == "C3 · capacitance"
    assert plain(key_text(Key.of("unit", "mass"))) == "mass"
    subjects = {"ports:A1+C1": "C1 + A1", "barrier:main": "main barrier", "stage:input": "input stage", "unit": "unit"}
    assert {subject: subject_text(subject) for subject in subjects} == subjects
