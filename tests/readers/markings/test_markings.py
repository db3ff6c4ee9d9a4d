"""Markings as printed, the ambiguities that must be shown, and the order of readings."""

import tomllib
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partingline.readers.markings import EVIDENCE, SCHEMES, decode_marking, tried_schemes
from partingline.readers.markings.preferred import e24

CASES = tomllib.loads((Path(__file__).parent / "markings.toml").read_text(encoding="utf-8"))["marking"]


@pytest.mark.parametrize("case", CASES, ids=[case["text"] for case in CASES])
def test_marking(case: dict[str, object]) -> None:
    readings = decode_marking(str(case["text"]), str(case["kind"]))
    assert readings, tried_schemes(str(case["text"]))
    first = readings[0]
    assert first.fits
    assert first.unread == case.get("unread", "")
    says = case["says"]
    assert isinstance(says, dict)
    for quantity, expected in says.items():
        said = first.get(quantity)
        assert said is not None, f"{quantity} is not among {first.says}"
        got = said.words if isinstance(expected, str) else said.value
        assert got == (expected if isinstance(expected, str) else pytest.approx(expected, rel=1e-12))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("30R", {"resistor: 30 Ω", "resistor: 2 Ω, ±1 %"}),
        ("100", {"resistor: 10 Ω", "resistor: 100 Ω", "capacitor: 10 pF", "inductor: 10 µH"}),
        ("5M0", {"resistor: 5 MΩ", "current-sense resistor: 5 mΩ"}),
        ("474K", {"capacitor: 0.47 µF, ±10 %", "resistor: 474 kΩ"}),
        ("25 50", {"electrolytic capacitor: 25 µF, 50 V", "electrolytic capacitor: 50 µF, 25 V"}),
        ("M5", {"date code: 2020-05", "date code: 2000-05", "date code: 2021-05"}),
    ],
)
def test_ambiguity_is_shown(text: str, says: set[str]) -> None:
    assert says <= {reading.says.replace("\u202f", " ") for reading in decode_marking(text)}


@pytest.mark.parametrize("text", ["INR21700", "ICP10/34/50"])
def test_a_designation_of_a_cell_tells_chemistry_and_size(text: str) -> None:
    """IEC 61960, from memory: I lithium ion, N nickel, C cobalt; R round, P flat; 21700 in the trade for 21/70."""
    (reading,) = (one for one in decode_marking(text) if one.kind == "cell")
    assert reading.evidence == EVIDENCE["M"]
    size = {"INR21700": "Round, 21 mm across and 70 mm high", "ICP10/34/50": "Flat, 10 mm × 34 mm × 50 mm"}[text]
    assert size in reading.notes[0]
    assert "lithium-ion" in reading.says


@pytest.mark.parametrize(
    "text", ["18650", "4R7", "560 25", "NR150-5", "LP35-560", "10000", "47/25V", "0,1µF 40/110/56"]
)
def test_what_names_no_cell(text: str) -> None:
    assert "cell" not in {reading.kind for reading in decode_marking(text)}


def test_underlined_digits_are_mentioned() -> None:
    assert any("Underlined" in note for reading in decode_marking("103", "resistor") for note in reading.notes)


def test_kind_decides_the_order_but_hides_nothing() -> None:
    free, asked = decode_marking("104"), decode_marking("104", "capacitor")
    assert free[0].kind == "resistor"
    assert asked[0].kind == "capacitor"
    assert len(free) == len(asked)
    assert [reading.fits for reading in asked] == sorted((reading.fits for reading in asked), reverse=True)


def test_date_codes_after_the_purchase_are_dropped() -> None:
    kept = decode_marking("N5", not_after=date(2020, 1, 1))
    assert {said.words for reading in kept for said in reading.said if said.quantity == "date"} == {"2001-05"}


def test_no_scheme_fits() -> None:
    assert decode_marking("zz!") == ()
    assert decode_marking("  ") == ()
    sentence = tried_schemes("zz!")
    assert all(scheme.title in sentence for scheme in SCHEMES)


def test_every_reading_says_where_it_comes_from() -> None:
    readings = [reading for case in CASES for reading in decode_marking(str(case["text"]))]
    assert all(reading.source and reading.evidence in EVIDENCE.values() for reading in readings)
    assert len({scheme.id for scheme in SCHEMES}) == len(SCHEMES)
    # The voltage letters are known from memory only, so the whole reading is.
    assert decode_marking("2A104J")[0].evidence == "from memory"
    assert decode_marking("104J")[0].evidence == "read in a secondary copy"


@given(st.sampled_from(sorted(e24())), st.integers(0, 5))
def test_digit_code_round_trip(digits: int, power: int) -> None:
    readings = {reading.scheme: reading for reading in decode_marking(f"{digits}{power}")}
    resistance = readings["resistor-digits"].get("resistance")
    capacitance = readings["capacitor-code"].get("capacitance")
    assert resistance is not None
    assert capacitance is not None
    assert resistance.value == pytest.approx(digits * 10.0**power)
    assert capacitance.value == pytest.approx(digits * 10.0**power * 1e-12)


@given(st.text(max_size=40))
def test_any_text_is_read_without_failing(text: str) -> None:
    for reading in decode_marking(text):
        assert 0 < reading.plausibility <= 1
        assert reading.text == text
