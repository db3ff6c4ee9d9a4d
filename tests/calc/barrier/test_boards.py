"""Paths on boards whose length is worked out by hand: slots, both faces, the edge, grooves, ribs, floating metal."""

import math

import pytest

from partingline.calc.barrier import BOTTOM, PRIMARY, SECONDARY, Board, Relief, board_clearance, board_creepage
from tests.calc.barrier.shapes import MM, box, metal, mm, ring

X = 1.0 * MM
OUTLINE = box(0, 0, 40, 30)
A, B = metal(PRIMARY, 17, 14, 18, 16), metal(SECONDARY, 22, 14, 23, 16)


def test_clearance_goes_over_a_slot_and_creepage_round_it() -> None:
    board = Board(OUTLINE, (box(19.5, 5, 20.5, 25),))
    assert mm(board_clearance(board, (A, B))) == pytest.approx(4.0)
    assert mm(board_creepage(board, (A, B), bridged_width=X)) == pytest.approx(2 * math.hypot(1.5, 9) + 1)


def test_a_slot_narrower_than_x_is_no_slot() -> None:
    board = Board(OUTLINE, (box(19.6, 5, 20.4, 25),))
    assert mm(board_creepage(board, (A, B), bridged_width=X)) == pytest.approx(4.0)


def test_a_tapered_slot_is_bridged_only_where_it_is_narrow() -> None:
    """Width 2 mm at y = 5 and 0.5 mm at y = 25: X is reached two thirds of the way up, at y = 18.33."""
    board = Board(OUTLINE, (ring((19, 5), (21, 5), (20.25, 25), (19.75, 25)),))
    reached = 5 + 20 * (2 - 1) / (2 - 0.5)
    expected = 2 * math.hypot(1.5, reached - 16) + 1
    assert mm(board_creepage(board, (A, B), bridged_width=X)) == pytest.approx(expected, rel=1e-6)


def test_other_faces_are_reached_through_a_slot() -> None:
    board = Board(OUTLINE, (box(19.5, 5, 20.5, 25),))
    below = metal(SECONDARY, 22, 14, 23, 16, BOTTOM)
    assert mm(board_clearance(board, (A, below))) == pytest.approx(3.0 + math.hypot(1.0, 1.6), rel=1e-8)


def test_other_faces_are_reached_over_the_edge() -> None:
    """Unfolded, the way over the edge is straight: 2 mm, the wall, 3 mm, and 10 mm along."""
    one, other = metal(PRIMARY, 2, 5, 3, 10), metal(SECONDARY, 3, 20, 4, 25, BOTTOM)
    found = board_creepage(Board(OUTLINE), (one, other), bridged_width=X)
    assert mm(found) == pytest.approx(math.hypot(2 + 1.6 + 3, 10), rel=1e-7)
    around = board_clearance(Board(OUTLINE), (one, other))
    assert mm(around) == pytest.approx(mm(found), rel=1e-7)  # a convex edge: the air's way lies on the wall


def test_a_rib_is_climbed_and_a_groove_followed() -> None:
    rib = Board(OUTLINE, reliefs=(Relief(box(19.5, -1, 20.5, 31), 2 * MM),))
    low = math.hypot(1.5, 2)
    assert mm(board_clearance(rib, (A, B))) == pytest.approx(2 * low + 1, rel=1e-8)
    groove = Board(OUTLINE, reliefs=(Relief(box(19.5, 1, 20.5, 29), -1 * MM),))
    assert mm(board_creepage(groove, (A, B), bridged_width=X)) == pytest.approx(6.0, rel=1e-8)
    narrow = Board(OUTLINE, reliefs=(Relief(box(19.6, 1, 20.4, 29), -1 * MM),))
    assert mm(board_creepage(narrow, (A, B), bridged_width=X)) == pytest.approx(4.0)


def test_a_short_rib_is_passed_round_its_end() -> None:
    rib = Board(OUTLINE, reliefs=(Relief(box(19.5, 14.5, 20.5, 28), 9 * MM),))
    found = mm(board_clearance(rib, (A, B)))
    assert found == pytest.approx(4.0)  # the metal reaches below the rib's end: straight


def test_floating_metal_shortens_the_way() -> None:
    board = Board(OUTLINE, (box(19.5, 5, 20.5, 25),))
    bridge = metal("F", 17, 2, 23, 4.8)
    assert mm(board_creepage(board, (A, B, bridge), bridged_width=X)) == pytest.approx(2 * 9.2)
    near = metal("G", 18.4, 14, 21.6, 16)
    assert mm(board_clearance(board, (A, B, near))) == pytest.approx(0.8)
    assert mm(board_clearance(board, (A, B, near), zero_below=X)) == 0.0


def test_a_side_without_metal_has_no_path() -> None:
    assert board_creepage(Board(OUTLINE), (A,), bridged_width=X) is None
    cut = Board(OUTLINE, (box(19, -1, 21, 31),), thickness=1.6 * MM)
    assert board_creepage(cut, (A, B), bridged_width=X) is None
    assert mm(board_clearance(cut, (A, B))) == pytest.approx(4.0)


def test_the_round_end_of_a_wide_slot_is_followed() -> None:
    """Tangent, arc, tangent: worked out from the circle about the slot's end."""
    radius, end = 0.6, 20.0
    turns = [math.pi * k / 200 for k in range(201)]
    around = [(20 + radius * math.cos(t), end + radius * math.sin(t)) for t in turns]
    board = Board(OUTLINE, (ring((19.4, 1), (20.6, 1), *around),))
    one, other = metal(PRIMARY, 16, 17, 18, 18), metal(SECONDARY, 22, 17, 24, 18)
    reach = math.hypot(2, 2)
    straight = math.sqrt(reach**2 - radius**2)
    turned = math.pi / 2 - 2 * (math.acos(radius / reach) - math.pi / 2)  # between the two points of touch
    expected = 2 * straight + turned * radius
    assert mm(board_creepage(board, (one, other), bridged_width=X)) == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize(("width", "less"), [(1.0, math.pi / 2 - 1), (1.1, 0.2552), (1.31, 0.0)])
def test_what_the_other_reading_of_a_round_end_would_take_off(width: float, less: float) -> None:
    """Read corner by corner, a chord of X would cut the round end where its tangents meet below 80 degrees.

    docs/decisions/round-ends-are-followed.md: 0.57 X at a width of X, 0.14 X just below 1.305 X, nothing from there on.
    The way round the end from wall to wall is the half circle here; the chord would replace the arc over it.
    """
    from partingline.calc.barrier.narrow import CORNER

    reach = math.asin(min(1.0, 1 / width))  # half the angle of the arc over a chord of X = 1 mm
    meets = math.pi - 2 * reach
    saved = width * reach - 1 if meets < CORNER else 0.0
    assert saved == pytest.approx(less, abs=2e-3)
    radius, end = width / 2, 20.0
    around = [
        (20 + radius * math.cos(math.pi * k / 200), end + radius * math.sin(math.pi * k / 200)) for k in range(201)
    ]
    board = Board(OUTLINE, (ring((20 - radius, 1), (20 + radius, 1), *around),))
    near = metal(PRIMARY, 17, 18, 20 - radius, 20), metal(SECONDARY, 20 + radius, 18, 23, 20)
    assert mm(board_creepage(board, near, bridged_width=X)) == pytest.approx(math.pi * radius, rel=1e-3)
