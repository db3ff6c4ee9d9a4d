"""Codes with a published meaning.

Sources: EIA-96 tables, the EIA 3/4-digit conventions, IEC 60062 (RKM and date codes), EIA-198 letters (TI
SLAA701 and maker tables), JIS C 5101 voltage codes (from memory).
"""

from datetime import date

import pytest

from partingline.readers.markings import Reading, decode_marking
from partingline.readers.markings.letters import ASYMMETRIC, TOLERANCE, VOLTAGE
from partingline.readers.markings.preferred import e24, three_digits
from partingline.readers.markings.schemes.date_iec60062 import month_code, year_letter


def reading(text: str, scheme: str) -> Reading:
    found = [one for one in decode_marking(text) if one.scheme == scheme]
    assert found, f"{text} is not read as {scheme}"
    return found[0]


def value(text: str, scheme: str, quantity: str) -> float | None:
    said = reading(text, scheme).get(quantity)
    return said.value if said else None


@pytest.mark.parametrize(
    ("code", "ohm"),
    [("01A", 100.0), ("01Y", 1.0), ("68X", 49.9), ("66B", 4750.0), ("38C", 24300.0),
     ("96D", 976e3), ("24E", 1.74e6),
     ("12Z", 0.130), ("51S", 33.2), ("14A", 137.0), ("15A", 140.0), ("30R", 2.00)],
)  # fmt: skip
def test_eia96(code: str, ohm: float) -> None:
    assert value(code, "eia-96", "resistance") == pytest.approx(ohm, rel=1e-12)


def test_eia96_covers_the_series_once() -> None:
    values = [value(f"{n:02}A", "eia-96", "resistance") for n in range(1, 97)]
    assert len(set(values)) == 96
    assert all(int(one or 0) in three_digits() for one in values)
    assert not [one for one in decode_marking("97A") if one.scheme == "eia-96"]


@pytest.mark.parametrize(
    ("code", "ohm"),
    [
        ("103", 10e3),
        ("220", 22.0),
        ("471", 470.0),
        ("4992", 49.9e3),
        ("1001", 1000.0),
        ("000", 0.0),
        ("0", 0.0),
    ],
)
def test_resistor_digits(code: str, ohm: float) -> None:
    assert value(code, "resistor-digits", "resistance") == pytest.approx(ohm)


@pytest.mark.parametrize(
    ("code", "ohm"),
    [("R47", 0.47), ("0R0", 0.0), ("1R00", 1.0), ("R010", 0.01), ("470R", 470.0), ("4K7", 4700.0),
     ("47K3", 47300.0),
     ("2M2", 2.2e6), ("4M7", 4.7e6), ("1G0", 1e9), ("5L0", 5e-3)],
)  # fmt: skip
def test_rkm_resistor(code: str, ohm: float) -> None:
    assert value(code, "iec60062-rkm", "resistance") == pytest.approx(ohm, rel=1e-12)


@pytest.mark.parametrize(
    ("code", "farad"),
    [
        ("p33", 0.33e-12),
        ("4p7", 4.7e-12),
        ("4n7", 4.7e-9),
        ("100n", 100e-9),
        ("2u2", 2.2e-6),
        ("m47", 470e-6),
    ],
)
def test_rkm_capacitor(code: str, farad: float) -> None:
    assert value(code, "iec60062-rkm-capacitor", "capacitance") == pytest.approx(farad, rel=1e-12)


@pytest.mark.parametrize(
    ("code", "farad"),
    [("104", 0.1e-6), ("224", 0.22e-6), ("475", 4.7e-6), ("472", 4.7e-9), ("102", 1e-9), ("101", 100e-12),
     ("106", 10e-6), ("229", 2.2e-12), ("478", 0.47e-12)],
)  # fmt: skip
def test_capacitor_code(code: str, farad: float) -> None:
    assert value(code, "capacitor-code", "capacitance") == pytest.approx(farad, rel=1e-12)


@pytest.mark.parametrize(
    ("code", "henry"),
    [("100", 10e-6), ("101", 100e-6), ("102", 1e-3), ("1R0", 1e-6), ("4R7", 4.7e-6),
     ("R47", 0.47e-6), ("R10", 0.1e-6),
     ("47N", 47e-9), ("4N7", 4.7e-9)],
)  # fmt: skip
def test_inductor_code(code: str, henry: float) -> None:
    assert value(code, "inductor-code", "inductance") == pytest.approx(henry, rel=1e-12)


@pytest.mark.parametrize(
    ("code", "low", "high", "below", "above"),
    [("X7R", -55, 125, -0.15, 0.15), ("X5R", -55, 85, -0.15, 0.15), ("Z5U", 10, 85, -0.56, 0.22),
     ("X7T", -55, 125, -0.33, 0.22), ("Y5V", -30, 85, -0.82, 0.22)],
)  # fmt: skip
def test_eia198_class2(code: str, low: float, high: float, below: float, above: float) -> None:
    found = reading(code, "eia-198-class-2")
    span, change = found.get("temperature_range"), found.get("capacitance_change")
    assert span is not None
    assert change is not None
    assert (span.low, span.high, change.low, change.high) == (low, high, below, above)


@pytest.mark.parametrize(("code", "centre", "width"), [("C0G", 0, 30), ("U2J", -750, 120), ("P3K", -1500, 250)])
def test_eia198_class1(code: str, centre: float, width: float) -> None:
    said = reading(code, "eia-198-class-1").get("temperature_coefficient")
    assert said is not None
    assert said.value == pytest.approx(centre * 1e-6)
    assert (said.low, said.high) == (
        pytest.approx((centre - width) * 1e-6),
        pytest.approx((centre + width) * 1e-6),
    )


def test_letters() -> None:
    percent = {"B": 0.1, "C": 0.25, "D": 0.5, "F": 1, "G": 2, "H": 3, "J": 5, "K": 10, "M": 20, "N": 30}
    assert {letter: TOLERANCE[letter] * 100 for letter in percent} == pytest.approx(percent)
    assert ASYMMETRIC == {"Q": (-0.1, 0.3), "T": (-0.1, 0.5), "S": (-0.2, 0.5), "Z": (-0.2, 0.8)}
    volts = {"0J": 6.3, "1E": 25, "1V": 35, "1H": 50, "1J": 63, "2A": 100, "2E": 250, "2V": 350, "2G": 400}
    assert {code: VOLTAGE[code] for code in volts} == volts


def test_small_capacitors_have_their_tolerance_in_picofarads() -> None:
    said = reading("229C", "capacitor-code").get("capacitance")
    assert said is not None
    assert (said.low, said.high) == (pytest.approx(1.95e-12), pytest.approx(2.45e-12))


# IEC 60062 20-year cycle from memory; 1994 E ... 2000 M confirmed in a secondary copy.
@pytest.mark.parametrize(
    ("year", "letter"),
    [(1994, "E"), (2000, "M"), (2001, "N"), (2010, "A"), (2016, "H"), (2019, "L"), (2021, "N"), (2022, "P"),
     (2024, "S"), (2025, "T"), (2029, "X")],
)  # fmt: skip
def test_year_letter(year: int, letter: str) -> None:
    assert year_letter(year) == letter
    days = {said.day for one in decode_marking(f"{letter}1") for said in one.said if said.quantity == "date"}
    assert date(year, 1, 1) in days


def test_month_code() -> None:
    assert [month_code(month) for month in (1, 9, 10, 11, 12)] == ["1", "9", "O", "N", "D"]


# IEC 60063: the values of E24, and the only E192 value that departs from the formula (920).
def test_preferred_numbers() -> None:
    assert sorted(e24()) == [
        10,
        11,
        12,
        13,
        15,
        16,
        18,
        20,
        22,
        24,
        27,
        30,
        33,
        36,
        39,
        43,
        47,
        51,
        56,
        62,
        68,
        75,
        82,
        91,
    ]
    assert 920 in three_digits()
    assert 919 not in three_digits()
    assert {499, 102, 976, 475} <= three_digits()
