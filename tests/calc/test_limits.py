"""The published limits as curves: what the tables promise at their edges, and columns worked out by another route."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partingline.calc import efficiency, efficiency_limits, ratings, safety, spacing, surface_path, thermal

EDGE = 49.0


@pytest.mark.parametrize(
    ("calculation", "supply_class", "jump"),
    [
        (efficiency_limits.us_level_vi_average, "basic", 0.0023),
        (efficiency_limits.us_level_vi_average, "low-voltage", 0.0051),
        (efficiency_limits.us_level_vi_average, "multiple-voltage", 0.0072),
        (efficiency_limits.coc_tier2_average, "basic", 0.0001),
        (efficiency_limits.coc_tier2_average, "low-voltage", 0.0004),
        (efficiency_limits.coc_tier2_low_load, "basic", 0.0001),
        (efficiency_limits.coc_tier2_low_load, "low-voltage", 0.0004),
    ],
)
def test_the_step_at_49_watts(calculation: object, supply_class: str, jump: float) -> None:
    """The Code of Conduct curves are continuous there, which decides between two printed coefficients; US ones step."""
    below, above = calculation(output_power=np.array([EDGE, EDGE + 1e-9]), supply_class=supply_class)  # type: ignore[operator]
    assert abs(above - below) <= jump


def test_a_printed_coefficient_that_breaks_the_curve_is_not_used() -> None:
    """One trade-press copy prints -0.0014 P in the 10 % cell of tier 2: 77.8 % at 49 W, beside 79.0 % above."""
    assert 0.071 * np.log(49) - 0.0014 * 49 + 0.57 == pytest.approx(0.778, abs=5e-4)
    assert efficiency_limits.coc_tier2_low_load(output_power=49.0) == pytest.approx(0.78997, abs=1e-5)


@given(st.floats(0.5, 250.0))
def test_stricter_programmes_are_stricter(power: float) -> None:
    """Tier 2 asks at least what tier 1 asks, and Level VI at least what Level V, and V what IV asks.

    The published low-voltage curves cross by 0.00015 at 49 W, where the coefficients were rounded to four places.
    """
    for supply_class in ("basic", "low-voltage"):
        same = {"output_power": power, "supply_class": supply_class}
        assert efficiency_limits.coc_tier2_average(**same) >= efficiency_limits.coc_tier1_average(**same) - 2e-4
        assert efficiency_limits.coc_tier2_no_load(**same) <= efficiency_limits.coc_tier1_no_load(**same)
        assert efficiency_limits.us_level_vi_average(**same) == efficiency_limits.eu_2019_1782_average(**same)
        order = [efficiency_limits.marking_level_average(level=level, **same) for level in ("III", "V", "VI")]
        assert order == sorted(order)


@pytest.mark.parametrize(
    ("volts", "amps", "expected"),
    [
        (5.0, 2.0, "low-voltage"),
        (5.0, 0.55, "low-voltage"),
        (5.0, 0.549, "basic"),
        (5.99, 3.0, "low-voltage"),
        (6.0, 3.0, "basic"),
        (20.0, 3.25, "basic"),
    ],
)
def test_voltage_class_at_its_edges(volts: float, amps: float, expected: str) -> None:
    """10 CFR 430: below 6 V and at least 550 mA."""
    assert efficiency.voltage_class(output_voltage=volts, output_current=amps) == expected


@pytest.mark.parametrize(
    ("average", "no_load", "expected"),
    [
        (0.885, 0.2, "VI"),
        (0.885, 0.22, "V"),
        (0.879, 0.1, "V"),
        (0.86, 0.1, "IV"),
        (0.845, 0.1, "III"),
        (0.7, 0.1, "I"),
    ],
)
def test_marking_level_needs_both_limits(average: float, no_load: float, expected: str) -> None:
    """International Efficiency Marking Protocol, at 65 W, basic."""
    got = efficiency_limits.marking_level(average_efficiency=average, no_load_power=no_load, output_power=65.0)
    assert got == expected


def test_no_limit_outside_the_scope() -> None:
    assert np.isnan(efficiency_limits.eu_2019_1782_average(output_power=251.0))
    assert np.isnan(efficiency_limits.us_level_vi_average(output_power=0.0))
    assert efficiency_limits.us_level_vi_average(output_power=251.0) == 0.875
    with pytest.raises(KeyError, match="multiple-voltage"):
        efficiency_limits.coc_tier2_average(output_power=10.0, supply_class="multiple-voltage")
    with pytest.raises(KeyError, match="VII"):
        efficiency_limits.marking_level_average(level="VII", output_power=10.0)


def test_points_that_cannot_be_held_are_left_out_of_the_average() -> None:
    """10 CFR 430 subpart B, appendix Z, s. 5(a)(1)(vi)(A)."""
    points = np.array([[0.9, 0.9], [0.88, np.nan], [0.86, np.nan], [0.84, 0.8]])
    np.testing.assert_allclose(efficiency.average_efficiency(efficiencies=points), [0.87, 0.85])
    assert np.isnan(efficiency.average_efficiency(efficiencies=[np.nan, np.nan]))


GROUPS = ["I", "II", "IIIa", "IIIb"]


@given(st.floats(50.0, 1000.0), st.floats(50.0, 1000.0), st.sampled_from([2, 3]))
def test_creepage_grows_with_voltage_and_material(one: float, other: float, degree: int) -> None:
    low, high = sorted((one, other))
    for group in GROUPS:
        same = {"pollution_degree": degree, "material_group": group}
        assert spacing.creepage(working_voltage=low, **same) <= spacing.creepage(working_voltage=high, **same)
        between = spacing.creepage_interpolated(working_voltage=low, **same)
        assert between <= spacing.creepage(working_voltage=low, **same) + 1e-12
    columns = [spacing.creepage(working_voltage=low, pollution_degree=degree, material_group=group) for group in GROUPS]
    assert columns == sorted(columns)


@given(st.floats(330.0, 12000.0), st.floats(330.0, 12000.0), st.floats(0.0, 20000.0))
def test_clearance_grows_with_impulse_pollution_and_altitude(one: float, other: float, altitude: float) -> None:
    low, high = sorted((one, other))
    for degree in (1, 2, 3):
        below = spacing.clearance(impulse_voltage=low, pollution_degree=degree)
        assert below <= spacing.clearance(impulse_voltage=high, pollution_degree=degree)
    degrees = [spacing.clearance(impulse_voltage=low, pollution_degree=degree) for degree in (1, 2, 3)]
    assert degrees == sorted(degrees)
    assert spacing.altitude_factor(altitude=altitude) >= 1.0


def test_the_rows_above_the_table_give_no_number() -> None:
    assert np.isnan(spacing.creepage(working_voltage=1000.1))
    assert np.isnan(spacing.clearance(impulse_voltage=12001.0))
    assert np.isnan(spacing.rated_impulse_voltage(mains_voltage=1001.0))
    assert np.isnan(spacing.reinforced_impulse_voltage(impulse_voltage=12000.0))


def test_below_the_table_the_first_row_is_on_the_safe_side() -> None:
    assert spacing.creepage(working_voltage=5.0) == spacing.creepage(working_voltage=10.0)
    outside = spacing.creepage.outside_validity({"working_voltage": 5.0})
    assert outside == ["working_voltage = 5 lies outside 10 to 1000 V"]


@pytest.mark.parametrize(
    ("volts", "degree", "group", "millimetres"),
    [
        (10, 2, "III", 0.4),
        (32, 2, "II", 0.53),
        (40, 2, "II", 0.8),
        (40, 2, "III", 1.1),
        (25, 3, "I", 1.25),
        (40, 3, "III", 1.8),
    ],
)
def test_the_rows_of_extra_low_voltage(volts: float, degree: int, group: str, millimetres: float) -> None:
    """IEC 60664-1, Table F.5, rows 10 to 40 V as two terminal-block catalogue pages of one maker print them."""
    found = spacing.creepage(working_voltage=volts, pollution_degree=degree, material_group=group)
    assert found == pytest.approx(millimetres * 1e-3)


def test_230_volts_of_mains_at_5000_metres() -> None:
    """IEC 60664-1: reinforced 3.0 mm x 1.48 = 4.44 mm of clearance; creepage 2 x 2.5 mm does not change."""
    needed = spacing.required_clearance(mains_voltage=230.0, altitude=5000.0, insulation="reinforced")
    assert needed == pytest.approx(4.44e-3)
    row = spacing.rationalised_mains_voltage(mains_voltage=230.0)
    creepage = spacing.required_creepage(working_voltage=row, insulation="reinforced", clearance=needed)
    assert creepage == pytest.approx(5.0e-3)
    wide = spacing.required_creepage(working_voltage=row, material_group="I", insulation="basic", clearance=needed)
    assert wide == pytest.approx(4.44e-3), "never below the clearance"


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: spacing.creepage(working_voltage=250.0, pollution_degree=4),
        lambda: spacing.creepage(working_voltage=250.0, material_group="IV"),
        lambda: spacing.creepage(working_voltage=250.0, material_group="IIIb", board=True),
        lambda: spacing.creepage(working_voltage=250.0, pollution_degree=3, board=True),
        lambda: spacing.clearance(impulse_voltage=2500.0, pollution_degree=0),
        lambda: spacing.rated_impulse_voltage(mains_voltage=230.0, overvoltage_category="2"),
        lambda: spacing.required_clearance(mains_voltage=230.0, insulation="double"),
        lambda: spacing.material_group(tracking_index=99.0),
        lambda: surface_path.groove_width(pollution_degree=4),
        lambda: thermal.touch_temperature_limit(material="paper"),
        lambda: thermal.touch_temperature_limit(material="metal", contact="2 s"),
        lambda: ratings.fuse_breaking_capacity(letter="X", rated_current=1.0),
        lambda: ratings.fuse_time_gate(multiple=2.0),
        lambda: safety.withstand_clearance(withstand_voltage=2500.0, insulation="double"),
    ],
)
def test_what_the_standard_does_not_know_is_refused(wrong: object) -> None:
    with pytest.raises(ValueError, match=r"expected|no material group"):
        wrong()  # type: ignore[operator]


@given(st.floats(1e-4, 0.02), st.floats(1e-4, 0.02), st.sampled_from([1, 2, 3]))
def test_v_groove_lies_between_straight_and_contour(width: float, depth: float, degree: int) -> None:
    """IEC 60664-1, 6.8, example 3: the bridged path is never shorter than the opening nor longer than the contour."""
    x = surface_path.groove_width(pollution_degree=degree)
    path = surface_path.v_groove_creepage(width=width, depth=depth, bridged_width=x)
    contour = 2 * np.hypot(depth, width / 2)
    assert width - 1e-12 <= path <= contour + 1e-12


@given(st.floats(0.5e-3, 2.9e-3))
def test_groove_width_is_the_lesser_of_table_and_a_third(clearance: float) -> None:
    for degree, table in ((1, 0.25e-3), (2, 1.0e-3), (3, 1.5e-3)):
        got = surface_path.groove_width(pollution_degree=degree, clearance=clearance)
        assert got == pytest.approx(min(table, clearance / 3))
    assert surface_path.groove_width(pollution_degree=3, clearance=3.0e-3) == pytest.approx(1.5e-3)


def test_limited_power_source_steps() -> None:
    """IEC 60950-1, Table 2B."""
    got = safety.limited_power_source(open_circuit_voltage=np.array([5.0, 20.0, 28.0, 48.0, 61.0]))
    np.testing.assert_allclose(got.power, [25.0, 100.0, 100.0, 100.0, np.nan])
    np.testing.assert_allclose(got.current, [8.0, 8.0, 8.0, 3.125, np.nan])


def test_harmonics_continue_above_their_rows() -> None:
    """IEC 61000-3-2: class A 0.15 x 15/n from the 15th, class D 3.85/n from the 13th; no limit for even ones here."""
    assert ratings.harmonic_limit_class_a(harmonic=15) == pytest.approx(0.15)
    assert ratings.harmonic_limit_class_a(harmonic=39) == pytest.approx(0.15 * 15 / 39)
    assert ratings.harmonic_limit_class_d(harmonic=13) == pytest.approx(3.85e-3 / 13)
    assert np.isnan(ratings.harmonic_limit_class_a(harmonic=2))
    assert np.isnan(ratings.harmonic_limit_class_d(harmonic=41))


def test_fuse_series_and_breaking_capacity() -> None:
    """IEC 60127 (from memory): preferred currents; L breaks 35 A or 10 In."""
    np.testing.assert_allclose(ratings.next_fuse_current(current=np.array([1.0, 1.01, 7.0])), [1.0, 1.25, np.nan])
    assert ratings.fuse_breaking_capacity(letter="L", rated_current=2.0) == 35.0
    assert ratings.fuse_breaking_capacity(letter="H", rated_current=2.0) == 1500.0
