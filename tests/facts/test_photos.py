"""What marks on photos become: lengths, spacing over one face and both, the board's thickness, paths drawn and found.

The photos are plain pictures of known scale: 50 pixels a millimetre, square. Lengths are worked out by hand.
"""

import json
import math
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from partingline.facts.opened import Opened, open_unit
from partingline.model import Key

SCALE = 50.0  # pixels a millimetre
SQUARE = "tilt 0°"


def _mark(photo: str, subject: str, words: str, points: list[tuple[float, float]], closed: bool = True) -> Any:
    path = " ".join(f"{x * SCALE},{y * SCALE}" for x, y in points)
    selector = {"type": "SvgSelector", "value": f'<svg><{"polygon" if closed else "polyline"} points="{path}"/></svg>'}
    body = [
        {"type": "TextualBody", "purpose": "identifying", "value": subject},
        {"type": "TextualBody", "purpose": "describing", "value": words},
    ]
    return {"type": "Annotation", "target": {"source": photo, "selector": selector}, "body": body}


def _box(x0: float, y0: float, x1: float, y1: float) -> list[tuple[float, float]]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def _opened(folder: Path, marks: list[Any], more: str = "") -> Opened:
    (folder / "photos").mkdir()
    for name in {mark["target"]["source"] for mark in marks}:
        Image.new("RGB", (1500, 1000), "white").save(folder / "photos" / name)
    (folder / "photos/marks.json").write_text(json.dumps(marks), encoding="utf-8")
    (folder / "unit.toml").write_text('[unit]\nmodel = "X"\ninvented = true\n' + more, encoding="utf-8")
    return open_unit(folder)


def _scale(photo: str) -> Any:
    return _mark(photo, "unit", f"scale: 20 mm {SQUARE}", [(2, 19), (22, 19)], closed=False)


def _face(photo: str, side: str, box: list[tuple[float, float]]) -> list[Any]:
    return [_scale(photo), _mark(photo, "barrier:main", f"{side} pad", box)]


EDGE = _box(0.5, 1, 24.5, 18)
OVER = 2 + 1.6 + 3.5
"""2 mm to the edge, the wall, 3.5 mm on the other face."""


def _two_faces(holes: bool) -> list[Any]:
    """Primary metal on the top, 2 mm from the left edge; secondary on the bottom (seen mirrored), 3.5 mm from it."""
    marks = _face("a-top.png", "primary", _box(2.5, 5, 4, 9)) + _face("b-bottom.png", "secondary", _box(19.5, 5, 21, 9))
    marks += [_mark(photo, "barrier:main", "board", EDGE) for photo in ("a-top.png", "b-bottom.png")]
    if holes:
        for name, x, y in (("1", 10, 4), ("2", 20, 4), ("3", 15, 15)):
            marks.append(_mark("a-top.png", "barrier:main", f"match {name}", _box(x - 0.5, y - 0.5, x + 0.5, y + 0.5)))
            x = 25 - x
            marks.append(
                _mark("b-bottom.png", "barrier:main", f"match {name}", _box(x - 0.5, y - 0.5, x + 0.5, y + 0.5))
            )
    return marks


def test_two_faces_are_laid_over_each_other_by_holes(tmp_path: Path) -> None:
    opened = _opened(tmp_path, _two_faces(holes=True))
    fact = opened.book.fact(Key.of("barrier:main", "creepage"))
    assert fact is not None
    assert fact.value == pytest.approx(OVER * 1e-3, rel=1.5e-2)
    photos = {path.photo for path in opened.paths if path.key.quantity == "creepage"}
    assert photos == {"photos/a-top.png", "photos/b-bottom.png"}  # the path is drawn on both
    assert not [p for p in opened.problems if "faces" in str(p)]


def test_a_rectangle_alone_does_not_tell_how_the_faces_lie(tmp_path: Path) -> None:
    opened = _opened(tmp_path, _two_faces(holes=False))
    assert opened.book.fact(Key.of("barrier:main", "creepage")) is None
    assert any("more than one way" in str(problem) for problem in opened.problems)


def test_thickness_is_assumed_until_it_is_measured(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    assumed = _opened(tmp_path / "a", _two_faces(holes=True)).book.fact(Key.of("barrier:main", "creepage"))
    reading = '[[reading]]\nsubject = "barrier:main"\nquantity = "board_thickness"\nvalue = "0.80 ± 0.02 mm (k=1)"\n'
    measured = _opened(tmp_path / "b", _two_faces(holes=True), reading).book.fact(Key.of("barrier:main", "creepage"))
    assert assumed is not None
    assert measured is not None
    assert assumed.value - measured.value == pytest.approx(0.8e-3, rel=1e-2)
    causes = {c.cause for s in assumed.statements for c in s.value.components}  # type: ignore[union-attr]
    assert "assumed:barrier:main/board_thickness" in causes


def test_the_path_drawn_by_hand_stands_beside_the_one_found(tmp_path: Path) -> None:
    marks = [
        *_face("top.png", "primary", _box(4, 8, 6, 10)),
        _mark("top.png", "barrier:main", "secondary pad", _box(12, 8, 14, 10)),
        _mark("top.png", "barrier:main", "slot", _box(8, 4, 10, 11)),
        _mark("top.png", "barrier:main", "creepage by hand", [(6, 10), (8, 12), (10, 12), (12, 10)], closed=False),
    ]
    opened = _opened(tmp_path, marks)
    hand, found = sorted(
        (path for path in opened.paths if path.key.quantity == "creepage"), key=lambda path: not path.drawn
    )
    assert hand.value.value == pytest.approx((2 + 2 * math.hypot(2, 2)) * 1e-3, rel=1.5e-2)
    assert found.value.value == pytest.approx((2 + 2 * math.hypot(2, 1)) * 1e-3, rel=1.5e-2)
    from partingline.publish.compose.pictures import _beside

    assert _beside(found, hand).endswith("shorter than the one drawn by hand")


def test_lines_on_two_photos_give_the_body(tmp_path: Path) -> None:
    marks = [
        _scale("side.png"),
        _mark("side.png", "unit", "length", [(2, 5), (12, 5)], closed=False),
        _mark("side.png", "unit", "height", [(2, 5), (2, 11)], closed=False),
        _scale("front.png"),
        _mark("front.png", "unit", "width", [(3, 3), (11, 3)], closed=False),
        _mark("side.png", "unit", "prong_length", [(12, 5), (16, 5)], closed=False),
    ]
    opened = _opened(tmp_path, marks, '[body]\nmass = "1.2 ± 0.1 g"\n')
    for quantity, expected in (("volume", 480e-9), ("volume_with_prongs", 672e-9), ("density", 1.2e-3 / 480e-9)):
        fact = opened.book.fact(Key.of("unit", quantity))
        assert fact is not None, quantity
        assert fact.value == pytest.approx(expected, rel=2e-2)
