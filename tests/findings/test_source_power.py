"""What a power rating asks for. Numbers: worked lists computed from the tables on Renesas pages and in PI note 692."""

import pytest

from partingline.sources.source_power import (
    lowest_programmable,
    required_extended,
    required_fixed,
    required_programmable,
)

WORKED = [
    (12, [(5, 2.4)]),
    (18, [(5, 3), (9, 2)]),
    (27, [(5, 3), (9, 3)]),
    (30, [(5, 3), (9, 3), (15, 2)]),
    (45, [(5, 3), (9, 3), (15, 3)]),
    (60, [(5, 3), (9, 3), (15, 3), (20, 3)]),
    (65, [(5, 3), (9, 3), (15, 3), (20, 3.25)]),
    (100, [(5, 3), (9, 3), (15, 3), (20, 5)]),
    (140, [(5, 3), (9, 3), (15, 3), (20, 5)]),
]


@pytest.mark.parametrize(("power", "asked"), WORKED)
def test_worked_lists(power: float, asked: list[tuple[float, float]]) -> None:
    got = [(need.voltage, need.current) for need in required_fixed(power, five_amp_cable=True)]
    assert got == [pytest.approx(pair) for pair in asked]


@pytest.mark.parametrize("power", [65, 100, 140])
def test_a_plain_cable_holds_20_v_at_3_a(power: float) -> None:
    assert required_fixed(power, five_amp_cable=False)[-1].current == 3.0


@pytest.mark.parametrize(
    ("power", "highest", "current"), [(15, 5.9, 3.0), (20, 11, 2.2), (45, 16, 3.0), (65, 21, 3.25), (100, 21, 5.0)]
)
def test_programmable_ranges(power: float, highest: float, current: float) -> None:
    asked = required_programmable(power, five_amp_cable=True)
    assert (asked.voltage, asked.current) == (highest, pytest.approx(current))


@pytest.mark.parametrize("power", [0.0, -5.0, 241.0])
def test_outside_the_scope_it_says_so(power: float) -> None:
    with pytest.raises(ValueError, match="expected above 0 and at most 240 W"):
        required_fixed(power, five_amp_cable=True)


def test_lowest_programmable_voltage_by_revision() -> None:
    assert [lowest_programmable(revision) for revision in ("3.0", "3.1", "3.2", "2.0")] == [3.3, 3.3, 5.0, None]


@pytest.mark.parametrize(
    ("power", "asked"), [(100, []), (140, [(28, 5)]), (180, [(28, 5), (36, 5)]), (240, [(28, 5), (36, 5), (48, 5)])]
)
def test_extended_range(power: float, asked: list[tuple[float, float]]) -> None:
    assert [(need.voltage, need.current) for need in required_extended(power)] == [pytest.approx(p) for p in asked]
