"""Quantities in invented listing lines."""

import pytest

from partingline.readers.label import read_claims


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("65 W fast charging", [("output_power", None, 65.0, "W", "equals")]),
        ("up to 94 % efficiency", [("efficiency", None, 0.94, "1", "at most")]),
        ("only 118 g", [("mass", None, 0.118, "kg", "equals")]),
        ("less than 0.05 W standby", [("no_load_power", None, 0.05, "W", "at most")]),
        ("average efficiency of 91.2 %", [("average_efficiency", None, 0.912, "1", "equals")]),
        ("1.3 W/cm³", [("power_density", None, 1.3e6, "W/m³", "equals")]),
        ("ripple below 60 mV p-p", [("ripple_voltage", None, 0.06, "V", "at most")]),
        ("the case stays under 60 °C", [("surface_temperature", None, 60.0, "degC", "at most")]),
        ("worldwide 100-240 V input", [("rated_input_voltage", None, 170.0, "V", "within")]),
        ("something with 42 mm", [(None, None, 0.042, "m", "equals")]),
        (
            "USB-C1 delivers 45W and USB-A 18W",
            [("output_power", "C1", 45.0, "W", "equals"), ("output_power", "A", 18.0, "W", "equals")],
        ),
    ],
)
def test_claim(text: str, expected: list[tuple[object, ...]]) -> None:
    claims = read_claims(text)
    got = [(one.what, one.port, pytest.approx(one.quantity.value), one.quantity.unit, one.sense) for one in claims]
    assert got == expected


def test_place_and_phrase() -> None:
    text = "# Tern 65\nThe smallest one: 118 g, folding pins. Now with 65 W."
    claims = read_claims(text)
    lines = text.splitlines()
    assert [lines[one.line - 1][one.start : one.end] for one in claims] == ["118 g", "65 W"]
    assert claims[0].phrase == "The smallest one: 118 g, folding pins"


def test_ambiguous_number_keeps_both_readings() -> None:
    (claim,) = read_claims("Rated for 3,000 h")
    assert [one.value for one in claim.readings] == [10800.0, 10.8e6]
