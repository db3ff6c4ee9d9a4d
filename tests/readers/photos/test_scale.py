"""Scales from the card, from lines, circles and a lens that is known; heights over the plane."""

import math
from pathlib import Path

import numpy as np
import pytest

cv2 = pytest.importorskip("cv2")

from partingline.readers.photos.camera import Lens, fit_camera  # noqa: E402
from partingline.readers.photos.lone import Reference, reference_scale  # noqa: E402
from partingline.readers.photos.markers import card_scale, find_markers, lens_of  # noqa: E402
from partingline.readers.photos.opening import PictureError  # noqa: E402
from partingline.readers.photos.scale import camera_scale  # noqa: E402
from tests.readers.photos.rendering import drawing, shoot  # noqa: E402


def test_a_calibration_set_gives_the_lens() -> None:
    canvas, lens = drawing(), (-0.05, 0.008)
    shots = [shoot(canvas, seed, told_lens=lens).image for seed in (1, 2, 3, 4)]
    found = lens_of(shots)
    assert abs(found.k1 - lens[0]) < 3 * found.k1_u < 0.06
    assert abs(found.k2 - lens[1]) < 3 * found.k2_u < 0.12
    with pytest.raises(PictureError, match="at least three"):
        lens_of(shots[:2])


def test_a_known_lens_is_undone_exactly() -> None:
    plane = np.array([(x, y) for x in (0.0, 0.05, 0.1) for y in (0.0, 0.04, 0.08)])
    size, lens = (2000, 1500), (-0.08, 0.01)
    away = (plane * 14000 + [300, 200] - [999.5, 749.5]) / 1250
    r2 = (away**2).sum(axis=1, keepdims=True)
    pixels = away * (1 + lens[0] * r2 + lens[1] * r2**2) * 1250 + [999.5, 749.5]
    camera = fit_camera(plane, pixels, size, lens=Lens(*lens))
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


def test_a_line_gives_a_scale_with_tilt_in_its_uncertainty() -> None:
    rule = Reference(((100, 100), (1480, 100)), 30e-3)
    found = reference_scale([rule], (2000, 1860)).measure([(200, 500), (386, 500)])
    assert found.length == pytest.approx(30e-3 * 186 / 1380, rel=5e-3)
    assert 0.002 < found.scale_u / found.length < 0.03
    square = reference_scale([rule], (2000, 1860), tilt=0.0).measure([(200, 500), (386, 500)])
    assert square.scale_u < found.scale_u
    askew = reference_scale([rule], (2000, 1860), tilt=math.radians(35)).measure([(200, 500), (386, 500)])
    assert askew.scale_u > 3 * found.scale_u
    with pytest.raises(ValueError, match="two points apart"):
        reference_scale([Reference(((5, 5), (5, 5)), 30e-3)], (100, 100))


def test_a_line_beside_the_rule_and_along_it_is_known_best() -> None:
    """Tilt shortens both alike."""
    scale = reference_scale([Reference(((700, 900), (1300, 900)), 30e-3)], (2000, 1860), tilt=math.radians(20))
    along = scale.measure([(700, 930), (1300, 930)])
    across = scale.measure([(1000, 600), (1000, 1200)])
    assert along.scale_u / along.length < 0.2 * across.scale_u / across.length


def test_the_corners_of_a_coin_s_outline_lie_on_it() -> None:
    """An octagon in a circle has a tenth less area than the circle: the circle through its corners is meant."""
    turns = [math.tau * k / 8 for k in range(8)]
    rim = tuple((1000 + 200 * math.cos(t), 900 + 200 * math.sin(t)) for t in turns)
    scale = reference_scale([Reference(rim, 24e-3, closed=True)], (2000, 1860), tilt=0.0)
    assert scale.measure([(800, 900), (1200, 900)]).length == pytest.approx(24e-3, rel=5e-3)


def test_references_that_do_not_agree_are_told_apart() -> None:
    lines = [Reference(((100, 100), (1480, 100)), 30e-3), Reference(((100, 300), (100, 1680)), 30e-3)]
    assert reference_scale(lines, (2000, 1860)).strain < 8
    wrong = [lines[0], Reference(lines[1].points, 20e-3)]
    assert reference_scale(wrong, (2000, 1860)).strain > 13


def test_what_stands_higher_is_corrected_by_the_camera_distance() -> None:
    """Similar triangles: at a third of the way to the camera, a length is seen half as large again."""
    plane = np.array([(0.0, 0.0), (0.1, 0.0), (0.1, 0.08), (0.0, 0.08)])
    focal = 28 * math.hypot(2000, 1500) / 43.2666
    distance = focal / 10000  # 10000 pixels a metre
    camera = fit_camera(plane, plane * 10000 + [400, 300], (2000, 1500))
    scale = camera_scale(camera, relative_u=0.0, focal_35mm=28.0)
    assert scale.distance == pytest.approx(distance, rel=1e-2)
    seen = scale.measure([(400, 300), (1400, 300)], height=distance / 3, height_u=1e-3)
    assert seen.length == pytest.approx(0.1 * 2 / 3, rel=5e-3)
    assert seen.height_u == pytest.approx(0.1 * 1e-3 / distance, rel=1e-2)
    assert seen.scale_u == pytest.approx(0.1 / 3 * 0.03, rel=0.1)  # the told focal length is good to 3 %


def test_a_photo_laid_flat_has_as_many_pixels_a_millimetre_everywhere(tmp_path: Path) -> None:
    """The card's markers, found in the flat picture by OpenCV, lie where the drawing has them."""
    from PIL import Image

    from partingline.cli import card

    shoot(drawing(), 3).image.save(tmp_path / "photo.jpg")
    assert card.flat(tmp_path / "photo.jpg", tmp_path / "flat.png", 8.0) == 0
    with Image.open(tmp_path / "flat.png") as shown:
        plane, pixels = find_markers(shown)
    assert len(plane) == 32
    centres, places = (points.reshape(8, 4, 2).mean(axis=1) for points in (pixels, plane))
    assert centres[:, None] - centres[None] == pytest.approx(8.0 * (places[:, None] - places[None]), abs=0.6)
    assert card.flat(tmp_path / "photo.jpg", tmp_path / "flat.png", 200.0) == 2  # more than 120 megapixels
    assert card.flat(tmp_path / "none.jpg", tmp_path / "flat.png", 8.0) == 2
