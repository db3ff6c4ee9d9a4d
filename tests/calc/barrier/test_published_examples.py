"""The measuring examples of IEC 60664-1:2020, 6.8 (2007: 6.2), as sections cut through the insulation.

The rules of examples 1, 2 and 4 and the widths X were read in secondary copies; examples 3 and 5 to 11 are from memory
of the same figures (IEC 60950-1, annex F, and IEC 62368-1, annex O, draw them alike). The standard draws them without
numbers: the numbers follow from the geometry that each figure shows, worked out by hand beside each test.
"""

import math

import pytest

from partingline.calc import surface_path
from partingline.calc.barrier import PRIMARY, SECONDARY, Conductor, Section, section_clearance, section_creepage
from tests.calc.barrier.shapes import MM, Ring, box, metal, mm, ring

X = 1.0 * MM  # pollution degree 2
LEFT, RIGHT = metal(PRIMARY, -1, 0, 0, 0.5), metal(SECONDARY, 4, 0, 5, 0.5)


def _both(*solids: Ring, width: float = X, cemented: tuple[tuple[int, int], ...] = ()) -> tuple[float, float]:
    section = Section(solids, (LEFT, RIGHT), cemented)
    return mm(section_clearance(section)), mm(section_creepage(section, bridged_width=width))


def _grooved(left: float, right: float, depth: float, narrow_to: float | None = None) -> Ring:
    """A block with its top at 0 and a groove from `left` to `right`; `narrow_to` is the width at its bottom."""
    middle, half = (left + right) / 2, (narrow_to if narrow_to is not None else right - left) / 2
    bottom = ((middle + half, -depth), (middle - half, -depth)) if half else ((middle, -depth),)
    return ring((-2, -8), (6, -8), (6, 0), (right, 0), *bottom, (left, 0), (-2, 0))


@pytest.mark.parametrize(("width", "depth"), [(0.4, 3.0), (0.99, 6.0)])
def test_example_1_a_groove_narrower_than_x_is_bridged(width: float, depth: float) -> None:
    assert _both(_grooved(2 - width / 2, 2 + width / 2, depth)) == pytest.approx((4.0, 4.0))


def test_example_1_a_converging_groove_narrower_than_x_is_bridged() -> None:
    assert _both(_grooved(1.6, 2.4, 3.0, narrow_to=0.3)) == pytest.approx((4.0, 4.0))


@pytest.mark.parametrize(("width", "depth"), [(1.0, 2.0), (1.2, 0.8), (2.0, 5.0)])
def test_example_2_a_groove_of_x_or_wider_is_followed(width: float, depth: float) -> None:
    clearance, creepage = _both(_grooved(2 - width / 2, 2 + width / 2, depth))
    expected = surface_path.groove_creepage(width=width * MM, depth=depth * MM, bridged_width=X)
    assert clearance == pytest.approx(4.0)
    assert creepage == pytest.approx(4.0 - width + expected / MM)


@pytest.mark.parametrize(
    ("opening", "depth", "x", "published"),
    [(2.0, 4.0, 1.0, 5.1231), (0.8, 4.0, 1.0, 0.8), (1.5, 3.0, 1.0, 3.0616), (2.0, 4.0, 0.25, 7.4654),
     (2.0, 4.0, 1.5, 3.5616)],
)  # fmt: skip
def test_example_3_a_v_groove_is_bridged_at_its_bottom(
    opening: float, depth: float, x: float, published: float
) -> None:
    clearance, creepage = _both(_grooved(2 - opening / 2, 2 + opening / 2, depth, narrow_to=0.0), width=x * MM)
    assert clearance == pytest.approx(4.0)
    assert creepage == pytest.approx(4.0 - opening + published, abs=1e-4)


def test_example_4_a_rib_is_climbed_by_both() -> None:
    solid = ring((-2, -2), (6, -2), (6, 0), (2.5, 0), (2.5, 2), (1.5, 2), (1.5, 0), (-2, 0))
    low = Section(
        (solid,), (metal(PRIMARY, -1, -0.2, 0, 0), metal(SECONDARY, 4, -0.2, 5, 0))
    )  # sunk: at the level of the surface
    assert mm(section_clearance(low)) == pytest.approx(6.0)  # two triangles 1.5, 2, 2.5 and 1 mm of top
    assert mm(section_creepage(low, bridged_width=X)) == pytest.approx(8.0)


def _joined(left_groove: float, right_groove: float) -> tuple[Ring, Ring]:
    """Two bodies that meet at x = 2, each with a groove 1.5 mm deep beside the joint, as wide as told."""
    one = ring((-2, -8), (2, -8), (2, -1.5), (2 - left_groove, -1.5), (2 - left_groove, 0), (-2, 0))
    other = ring((2, -8), (6, -8), (6, 0), (2 + right_groove, 0), (2 + right_groove, -1.5), (2, -1.5))
    return one, other


def test_example_5_a_joint_with_a_narrow_groove_is_bridged() -> None:
    assert _both(*_joined(0.4, 0.4)) == pytest.approx((4.0, 4.0))


def test_example_6_a_joint_with_wide_grooves_is_followed() -> None:
    clearance, creepage = _both(*_joined(1.2, 1.2))
    assert clearance == pytest.approx(4.0)
    assert creepage == pytest.approx(4.0 + 2 * 1.5)


def _wall(left: float, right: float) -> Ring:
    """A wall 1 mm thick and 1.5 mm high stands in a trough, `left` and `right` of it open."""
    return ring((-2, -8), (6, -8), (6, 0), (2.5 + right, 0), (2.5 + right, -1.5), (2.5, -1.5), (2.5, 0), (1.5, 0),
                (1.5, -1.5), (1.5 - left, -1.5), (1.5 - left, 0), (-2, 0))  # fmt: skip


def test_example_7_the_narrow_groove_is_bridged_and_the_wide_one_followed() -> None:
    clearance, creepage = _both(_wall(0.5, 1.2))
    assert clearance == pytest.approx(4.0)
    assert creepage == pytest.approx(4.0 + 2 * 1.5)


BARRIER = (box(-2, -2, 6, 0), ring((1.8, 0), (2.2, 0), (2.2, 5), (1.8, 5)))


def test_example_8_creepage_goes_through_an_uncemented_joint_under_the_barrier() -> None:
    section = Section(BARRIER, (metal(PRIMARY, -1, 0, 0, 0.2), metal(SECONDARY, 4, 0, 5, 0.2)))
    assert mm(section_creepage(section, bridged_width=X)) == pytest.approx(4.0)
    over = 2 * math.hypot(1.8, 4.8) + 0.4  # from the metal's upper edge at 0.2
    assert mm(section_clearance(section)) == pytest.approx(over)


def test_a_cemented_joint_is_no_way_through() -> None:
    section = Section(BARRIER, (metal(PRIMARY, -1, 0, 0, 0.2), metal(SECONDARY, 4, 0, 5, 0.2)), ((0, 1),))
    assert mm(section_creepage(section, bridged_width=X)) == pytest.approx(4.0 + 2 * 5.0)


def _screw(gap: float) -> Section:
    """A screw head 3 mm wide and 1 mm high in a recess 3 mm deep, `gap` beside it; the other side beside the recess."""
    edge = 1.5 + gap
    body = ring((-6, -6), (8, -6), (8, 0), (edge, 0), (edge, -3), (-edge, -3), (-edge, 0), (-6, 0))
    return Section((body,), (metal(PRIMARY, -1.5, -3, 1.5, -2), metal(SECONDARY, edge + 1, 0, edge + 2, 0.5)))


def test_example_9_a_recess_wider_than_x_is_followed_to_its_floor() -> None:
    assert mm(section_creepage(_screw(1.2), bridged_width=X)) == pytest.approx(1.2 + 3.0 + 1.0)


def test_example_10_a_gap_narrower_than_x_beside_the_head_is_bridged() -> None:
    found = mm(section_creepage(_screw(0.6), bridged_width=X))
    from_the_head = 1.0 + (2.0 - math.sqrt(1 - 0.6**2)) + 1.0  # a link of X from the head's edge up to the wall
    assert found == pytest.approx(from_the_head)


def _with_float(gap: float) -> Section:
    floating = Conductor(box(gap, 0, gap + 1, 0.5), "F")
    return Section((box(-2, -2, 6, 0),), (LEFT, RIGHT, floating))


def test_example_11_a_floating_part_leaves_d_plus_d() -> None:
    section = _with_float(1.4)
    assert mm(section_clearance(section)) == pytest.approx(1.4 + 1.6)
    assert mm(section_creepage(section, bridged_width=X)) == pytest.approx(3.0)


def test_example_11_a_gap_below_x_to_a_floating_part_is_nothing_where_annex_o_holds() -> None:
    section = _with_float(0.8)
    assert mm(section_clearance(section)) == pytest.approx(3.0)
    assert mm(section_clearance(section, zero_below=X)) == pytest.approx(2.2)
    assert mm(section_creepage(section, bridged_width=X, zero_below=X)) == pytest.approx(2.2)


def test_sides_that_share_no_surface_have_no_creepage() -> None:
    apart = Section((box(-2, -1, 1, 0), box(3, -1, 6, 0)), (LEFT, RIGHT))
    assert section_creepage(apart, bridged_width=X) is None
    assert mm(section_clearance(apart)) == pytest.approx(4.0)


@pytest.mark.parametrize(("angle", "bridged"), [(79.0, True), (81.0, False)])
def test_a_corner_of_80_degrees_or_more_is_followed(angle: float, bridged: bool) -> None:
    """IEC 60950-1, figure F.3, and the household rules: from memory."""
    opening, half = 2.0, math.radians(angle / 2)
    depth = opening / 2 / math.tan(half)
    _, creepage = _both(_grooved(1.0, 3.0, depth, narrow_to=0.0))
    side = math.hypot(opening / 2, depth)
    expected = 2 * side * (1 - 1 / opening) + 1 if bridged else 2 * side
    assert creepage == pytest.approx(4.0 - opening + expected, abs=1e-4)


@pytest.mark.parametrize(("gap", "expected"), [(1.2, 5.2), (0.6, 1.0 + (2.0 - math.sqrt(1 - 0.6**2)) + 1.0)])
def test_both_sides_of_a_screw_head_are_looked_at(gap: float, expected: float) -> None:
    """Examples 9 and 10 with the other side on the left: the way is as long."""
    section = _screw(gap)
    head, right = section.conductors
    left = Conductor(tuple((-x, y) for x, y in right.outline), SECONDARY)
    mirrored = Section(section.solids, (head, left), section.cemented)
    assert mm(section_creepage(mirrored, bridged_width=X)) == pytest.approx(expected)
    nearer = Conductor(tuple((-x + 0.4 * MM, y) for x, y in right.outline), SECONDARY)
    both = Section(section.solids, (head, right, nearer), section.cemented)
    assert mm(section_creepage(both, bridged_width=X)) == pytest.approx(expected - 0.4)


def test_cement_in_a_joint_leaves_the_grooves_beside_it() -> None:
    """Example 6 with the joint cemented: its grooves are followed as before, and nothing leads through the joint."""
    assert _both(*_joined(1.2, 1.2), cemented=((0, 1),)) == pytest.approx((4.0, 7.0))
    assert _both(*_joined(0.4, 0.4), cemented=((0, 1),)) == pytest.approx((4.0, 4.0))
