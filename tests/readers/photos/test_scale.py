"""Distances from rendered photos against the drawing's truth; scales from a line; heights over the plane."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

cv2 = pytest.importorskip("cv2")

from partingline.readers.photos.camera import fit_camera  # noqa: E402
from partingline.readers.photos.markers import card_scale, find_markers, lens_of  # noqa: E402
from partingline.readers.photos.opening import PictureError  # noqa: E402
from partingline.readers.photos.scale import camera_scale, ruler_scale, with_sharpness  # noqa: E402
from tests.readers.photos.rendering import TARGETS, drawing, point_at, shoot  # noqa: E402

PAIRS = list(itertools.combinations(range(len(TARGETS)), 2))


POINTING_PX = 0.05
"""Of the sub-pixel search: the scatter of its points about the truth in these renders (measured: 0.04)."""


def _scores(seeds: range) -> np.ndarray:
    """Errors of all distances over their stated standard uncertainty."""
    canvas, scores = drawing(), []
    for seed in seeds:
        shot = shoot(canvas, seed)
        scale = replace(card_scale(shot.image, relative_u=0.0), pointing_px=POINTING_PX)  # the drawing is true
        points = point_at(shot.image, shot.targets)
        for one, other in PAIRS:
            found = scale.measure([tuple(points[one]), tuple(points[other])])
            scores.append((found.length - math.dist(TARGETS[one], TARGETS[other]) * 1e-3) / found.u)
            assert abs(scores[-1] * found.u) < 0.5e-3
    return np.array(scores)


def _hold(scores: np.ndarray) -> None:
    assert np.mean(np.abs(scores) <= 1.96) >= 0.95
    assert np.std(scores) > 0.35, "the stated uncertainty is far larger than the errors"


def test_distances_lie_in_the_stated_interval() -> None:
    _hold(_scores(range(10)))


@pytest.mark.prove
@pytest.mark.timeout(1800)
def test_distances_of_500_renders() -> None:
    _hold(_scores(range(1000, 1500)))


def test_a_calibration_set_gives_the_lens() -> None:
    canvas = drawing()
    shots = [shoot(canvas, seed).image for seed in (1, 2, 3)]
    k1, k2 = lens_of(shots)
    assert abs(k1) < 0.2
    assert abs(k2) < 0.2
    with pytest.raises(PictureError, match="at least three"):
        lens_of(shots[:2])


def test_a_known_lens_is_undone_exactly() -> None:
    plane = np.array([(x, y) for x in (0.0, 0.05, 0.1) for y in (0.0, 0.04, 0.08)])
    size, lens = (2000, 1500), (-0.08, 0.01)
    away = (plane * 14000 + [300, 200] - [999.5, 749.5]) / 1250
    r2 = (away**2).sum(axis=1, keepdims=True)
    pixels = away * (1 + lens[0] * r2 + lens[1] * r2**2) * 1250 + [999.5, 749.5]
    camera = fit_camera(plane, pixels, size, lens=lens)
    assert camera.to_plane(pixels) == pytest.approx(plane, abs=1e-8)
    assert camera.to_pixels(plane) == pytest.approx(pixels, abs=1e-4)


def test_points_on_a_line_give_no_plane() -> None:
    line = np.array([(k * 0.01, k * 0.02) for k in range(6)])
    with pytest.raises(ValueError, match="one line"):
        fit_camera(line, line * 1e4, (1000, 1000))
    with pytest.raises(ValueError, match="takes four"):
        fit_camera(line[:3], line[:3] * 1e4, (1000, 1000))


def test_a_picture_without_the_card_is_refused() -> None:
    from PIL import Image

    blank = Image.new("RGB", (400, 300), "white")
    assert len(find_markers(blank)[0]) == 0
    with pytest.raises(PictureError, match="0 markers of the card"):
        card_scale(blank)


def test_a_ruler_line_gives_a_scale_with_tilt_in_its_uncertainty() -> None:
    scale = ruler_scale([(100, 100), (1480, 100)], 30e-3, (2000, 1860))
    found = scale.measure([(200, 500), (386, 500)])
    assert found.length == pytest.approx(30e-3 * 186 / 1380)
    assert 0.002 < found.scale_u / found.length < 0.03
    square = ruler_scale([(100, 100), (1480, 100)], 30e-3, (2000, 1860), tilt=0.0)
    assert square.measure([(200, 500), (386, 500)]).u < found.u
    with pytest.raises(ValueError, match="two points apart"):
        ruler_scale([(5, 5), (5, 5)], 30e-3, (100, 100))


def test_what_stands_higher_is_corrected_by_the_camera_distance() -> None:
    """Similar triangles: at a third of the way to the camera, a length is seen half as large again."""
    plane = np.array([(0.0, 0.0), (0.1, 0.0), (0.1, 0.08), (0.0, 0.08)])
    focal = 28 * math.hypot(2000, 1500) / 43.2666
    distance = focal / 10000  # 10000 pixels a metre
    scale = camera_scale(fit_camera(plane, plane * 10000 + [400, 300], (2000, 1500)), relative_u=0.0, focal_35mm=28.0)
    assert scale.distance == pytest.approx(distance, rel=1e-3)
    seen = scale.measure([(400, 300), (1400, 300)], height=distance / 3, height_u=1e-3)
    assert seen.length == pytest.approx(0.1 * 2 / 3, rel=1e-3)
    assert seen.height_u == pytest.approx(math.hypot(0.1 / 3 * 0.03, 0.1 * 1e-3 / distance), rel=1e-2)


def test_a_blurred_edge_widens_the_pointing() -> None:
    scale = ruler_scale([(0, 0), (1000, 0)], 30e-3, (2000, 1500))
    line = [(0.0, 0.0), (100.0, 0.0)]
    assert with_sharpness(scale, 8.0).measure(line).pointing_u > 2.5 * scale.measure(line).pointing_u
