"""Two faces laid over each other: turned, shifted and mirrored boards must come back to where they were."""

import math

import numpy as np
import pytest

from partingline.calc.barrier import laid_by_outline, laid_by_points

BOARD = ((0.0, 0.0), (0.06, 0.0), (0.06, 0.03), (0.045, 0.03), (0.045, 0.04), (0.0, 0.04))


def _from_below(points: np.ndarray, angle: float = 0.7) -> np.ndarray:
    """As the far face is seen: mirrored, turned, and elsewhere."""
    mirrored = points * [-1.0, 1.0]
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    return np.asarray(mirrored @ turn.T + [0.3, -0.1])


def test_matched_holes_lay_the_far_face_on_the_near_one() -> None:
    holes = np.array([(0.005, 0.005), (0.05, 0.02), (0.02, 0.035)])
    laid = laid_by_points(holes.tolist(), _from_below(holes).tolist())
    place = np.array([(0.033, 0.011)])
    assert laid.over(_from_below(place)) == pytest.approx(place, abs=1e-12)
    assert laid.under(place) == pytest.approx(_from_below(place), abs=1e-12)
    assert laid.miss < 1e-12
    noisy = holes + np.array([(1e-4, 0), (0, 1e-4), (-1e-4, 0)])
    assert 3e-5 < laid_by_points(noisy.tolist(), _from_below(holes).tolist()).miss < 1.5e-4
    with pytest.raises(ValueError, match="two or more"):
        laid_by_points([(0.0, 0.0)], [(1.0, 1.0)])


@pytest.mark.parametrize("angle", [0.0, 0.7, 2.0, 3.1, -1.2])
def test_an_outline_lays_the_far_face_on_the_near_one(angle: float) -> None:
    far = _from_below(np.array(BOARD), angle)
    laid = laid_by_outline(BOARD, tuple((float(x), float(y)) for x, y in far))
    assert laid.over(far) == pytest.approx(np.array(BOARD), abs=1e-4)
    assert laid.rival > 2 * laid.miss


def test_a_rectangle_lies_alike_in_two_ways() -> None:
    box = ((0.0, 0.0), (0.06, 0.0), (0.06, 0.03), (0.0, 0.03))
    far = _from_below(np.array(box))
    laid = laid_by_outline(box, tuple((float(x), float(y)) for x, y in far))
    assert laid.rival < 2 * laid.miss + 1e-5
