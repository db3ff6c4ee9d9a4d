"""What the words of scale marks say: cards, lines, sizes, heights, tilt; and lenses taken from a calibration set."""

import io
import math
from pathlib import Path

import pytest
from PIL import Image

pytest.importorskip("cv2")

from partingline.model import Evidence, Whole
from partingline.readers.folder import Folder
from partingline.readers.photos import Mark
from partingline.readers.photos.calibration import calibrated_lens
from partingline.readers.photos.opening import open_picture
from partingline.readers.photos.reference import photo_scale
from partingline.readers.photos.scale import Scale
from tests.readers.photos.rendering import drawing, shoot

LENS = (-0.05, 0.008)


def _camera(model: str, serial: str = "1", length: float = 6.8) -> Image.Exif:
    tags = Image.Exif()
    tags[0x010F], tags[0x0110] = "Invented", model
    tags.get_ifd(0x8769).update({0x920A: length, 0xA431: serial})
    return tags


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two units: one with a set of its own, one that finds the bench's; a card is photographed by a known lens."""
    root: Path = tmp_path_factory.mktemp("bench")
    canvas = drawing()
    for unit in ("own", "other"):
        (root / unit / "photos").mkdir(parents=True)
        shoot(canvas, 9, told_lens=LENS).image.save(root / unit / "photos/card.jpg", exif=_camera("Box 1"))
        shoot(canvas, 9, told_lens=LENS).image.save(root / unit / "photos/zoomed.jpg", exif=_camera("Box 1", length=13))
    for k, seed in enumerate((1, 2, 3, 4)):
        image = shoot(canvas, seed, told_lens=LENS).image
        for place in (root / "own/photos/calibration", root / "calibration"):
            place.mkdir(exist_ok=True)
            image.save(place / f"{k}.jpg", exif=_camera("Box 1", serial=str(k)))
    return root


def _mark(
    words: str, points: tuple[tuple[float, float], ...], photo: str = "photos/a.png", closed: bool = False
) -> Mark:
    return Mark("unit", photo, points, closed, words, Evidence(photo, "", Whole()))


@pytest.mark.parametrize("unit", ["own", "other"])
def test_the_lens_comes_from_the_set_of_that_camera(bench: Path, unit: str) -> None:
    folder = Folder(bench / unit)
    lens = calibrated_lens(folder, open_picture(folder.root / "photos/card.jpg"))
    assert lens is not None
    assert abs(lens.k1 - LENS[0]) < 3 * lens.k1_u < 0.06
    assert calibrated_lens(folder, open_picture(folder.root / "photos/zoomed.jpg")) is None  # another focal length
    card = _mark("scale: card", ((0, 0), (9, 0)), "photos/card.jpg")
    scale = photo_scale(folder, "photos/card.jpg", [card])
    assert scale is not None
    assert scale.source == "card, lens by its calibration set"
    assert folder.problems == []
    line = _mark("scale: 30 mm tilt 0°", ((100, 900), (500, 900)), "photos/card.jpg")
    plain = _mark("scale: 30 mm tilt 0°", ((100, 900), (500, 900)), "photos/zoomed.jpg")
    corner = [(900.0, 100.0), (1200.0, 100.0)]
    known, guessed = (photo_scale(folder, one.photo, [one]) for one in (line, plain))
    assert known is not None
    assert guessed is not None
    assert known.measure(corner).scale_u < 0.7 * guessed.measure(corner).scale_u


def test_a_set_that_does_not_suffice_is_said(bench: Path, tmp_path: Path) -> None:
    (tmp_path / "u/photos/calibration").mkdir(parents=True)
    for name in ("photos/a.jpg", "photos/calibration/1.jpg"):
        Image.new("RGB", (200, 150)).save(tmp_path / "u" / name, exif=_camera("Box 2"))
    folder = Folder(tmp_path / "u")
    assert calibrated_lens(folder, open_picture(folder.root / "photos/a.jpg")) is None
    assert "at least three" in str(folder.problems[0])


def _scale(tmp_path: Path, *marks: Mark) -> tuple[Scale | None, list[str]]:
    (tmp_path / "photos").mkdir(exist_ok=True)
    Image.new("RGB", (2000, 1500), "white").save(tmp_path / "photos/a.png")
    folder = Folder(tmp_path)
    return photo_scale(folder, "photos/a.png", marks), [str(problem) for problem in folder.problems]


LINE = ((500.0, 700.0), (1500.0, 700.0))


def test_a_rule_below_the_board_makes_the_board_smaller(tmp_path: Path) -> None:
    level, _ = _scale(tmp_path, _mark("scale: 30 mm tilt 0°", LINE))
    below, _ = _scale(tmp_path, _mark("scale: 30 mm, 1.6 mm below, tilt 0°", LINE))
    assert level is not None
    assert below is not None
    nearer = 1 - 1.6e-3 / below.distance
    assert below.measure(LINE).length / level.measure(LINE).length == pytest.approx(nearer, rel=5e-3)
    assert below.measure(LINE).height_u > 0


def test_a_told_tilt_is_in_the_uncertainty(tmp_path: Path) -> None:
    square, _ = _scale(tmp_path, _mark("scale: 30 mm", LINE))
    askew, _ = _scale(tmp_path, _mark("scale: 30 mm tilted 30 degrees", LINE))
    across = [(1000.0, 300.0), (1000.0, 1300.0)]
    assert square is not None
    assert askew is not None
    assert askew.measure(across).scale_u > 3 * square.measure(across).scale_u
    refused, problems = _scale(tmp_path, _mark("scale: 30 mm tilt 80°", LINE))
    assert refused is None
    assert "at most 60°" in problems[0]


def test_a_second_rule_helps_and_a_wrong_one_is_said(tmp_path: Path) -> None:
    down = ((600.0, 200.0), (600.0, 1200.0))
    one, _ = _scale(tmp_path, _mark("scale: 30 mm tilt 20°", LINE))
    both, problems = _scale(tmp_path, _mark("scale: 30 mm tilt 20°", LINE), _mark("scale: 30 mm", down))
    assert one is not None
    assert both is not None
    assert problems == []
    assert both.measure(down).scale_u < 0.3 * one.measure(down).scale_u
    wrong, problems = _scale(tmp_path, _mark("scale: 30 mm", LINE), _mark("scale: 20 mm", down))
    assert wrong is not None
    assert "do not agree" in problems[0]
    assert wrong.measure(LINE).length == pytest.approx(30e-3, rel=5e-3)


def test_a_picture_that_breaks_off_costs_its_scale_and_nothing_else(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    out = io.BytesIO()
    Image.effect_noise((2000, 1500), 60).save(out, "JPEG")
    (tmp_path / "photos/a.jpg").write_bytes(out.getvalue()[:40_000])
    folder = Folder(tmp_path)
    for words in ("scale: 30 mm", "scale: card"):
        assert photo_scale(folder, "photos/a.jpg", [_mark(words, LINE, "photos/a.jpg")]) is None
    assert len(folder.problems) == 2
    assert all("expected a whole JPEG" in str(problem) for problem in folder.problems)


def test_standard_sizes_and_coins(tmp_path: Path) -> None:
    turns = [math.tau * k / 30 for k in range(30)]
    rim = tuple((1000 + 400 * math.cos(t), 700 + 400 * math.sin(t)) for t in turns)
    coin, problems = _scale(tmp_path, _mark("scale: 24.25 mm diameter", rim, closed=True))
    assert coin is not None
    assert coin.measure([(600, 700), (1400, 700)]).length == pytest.approx(24.25e-3, rel=2e-2)
    plug, _ = _scale(tmp_path, _mark("scale: USB-A plug width", LINE))
    assert plug is not None
    assert plug.measure(LINE).length == pytest.approx(12e-3, rel=5e-3)
    nothing, problems = _scale(tmp_path, _mark("scale: a thumb", LINE))
    assert nothing is None
    assert "a length or a standard size" in problems[0]
