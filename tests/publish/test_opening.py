"""The steps of opening: typed in order, each with its photo, drawn as a strip and as pieces along one axis.

The form of a place on a photo: Media Fragments URI 1.0 (W3C Recommendation, 25 September 2012), 4.2.2.
"""

import base64
import io
import re
from pathlib import Path

import pytest
from PIL import Image

from partingline.facts.opened import Opened, open_unit
from partingline.model import Region
from partingline.publish.compose.opening import opening
from partingline.publish.document import Drawing, Figure

HEAD = '[unit]\nmaker = "Invented"\n'


def _unit(root: Path, *steps: str) -> Opened:
    (root / "photos").mkdir()
    halves = Image.new("RGB", (400, 200), "#ff0000")
    halves.paste("#0000ff", (200, 0, 400, 200))
    halves.save(root / "photos" / "a.png")
    (root / "unit.toml").write_text(HEAD + "".join(f"[[opening]]\n{step}\n" for step in steps), encoding="utf-8")
    return open_unit(root)


def _svg(opened: Opened, number: int) -> str:
    section = opening(opened)
    assert section is not None
    figure = section.blocks[number]
    assert isinstance(figure, Figure)
    assert isinstance(figure.content, Drawing)
    return figure.content.svg


def test_steps_stand_in_order_with_their_words(tmp_path: Path) -> None:
    steps = [f'does = "Step <{n}>"\ntool = "saw"\ntakes = "piece {n}"' for n in range(1, 7)]
    opened = _unit(tmp_path, *steps)
    section = opening(opened)
    assert section is not None
    assert section.note == "6 steps"
    strip = _svg(opened, 0)
    assert [strip.index(f"Step &lt;{n}&gt;") for n in range(1, 7)] == sorted(
        strip.index(f"Step &lt;{n}&gt;") for n in range(1, 7)
    )
    assert all(f"piece {n}" in _svg(opened, 1) for n in range(1, 7))


def test_only_the_named_place_of_a_photo_is_shown(tmp_path: Path) -> None:
    opened = _unit(tmp_path, 'does = "Cut"\nphoto = "photos/a.png#xywh=pixel:210,10,180,180"')
    assert opened.unit.opening[0].region == Region(210, 10, 180, 180)
    data = re.search(r"base64,([^\"]+)", _svg(opened, 0))
    assert data is not None
    shown = Image.open(io.BytesIO(base64.b64decode(data[1]))).convert("RGB").resize((1, 1))
    red, _, blue = shown.getpixel((0, 0))
    assert blue > 200 > 50 > red


@pytest.mark.parametrize(
    ("photo", "found"),
    [("photos/none.png", "is not there"), ("photos/a.png#here", "names no place"), ("../a.png", "is not there")],
)
def test_a_photo_that_cannot_be_shown_is_told(tmp_path: Path, photo: str, found: str) -> None:
    opened = _unit(tmp_path, f'does = "Cut"\nphoto = "{photo}"')
    assert any(found in problem.found for problem in opened.problems)
    assert opened.unit.opening[0].region is None
    assert opening(opened) is not None


def test_without_steps_there_is_no_section_and_one_piece_needs_no_order(tmp_path: Path) -> None:
    section = opening(_unit(tmp_path, 'does = "Cut"\ntakes = "shell"'))
    assert section is not None
    assert len(section.blocks) == 1
    (tmp_path / "unit.toml").write_text(HEAD)
    assert opening(open_unit(tmp_path)) is None


def test_a_broken_picture_leaves_an_empty_frame(tmp_path: Path) -> None:
    _unit(tmp_path, 'does = "Cut"\nphoto = "photos/a.png"')
    (tmp_path / "photos" / "a.png").write_bytes(b"\x89PNG\r\n\x1a\nnothing more")
    assert "unreadable" in _svg(open_unit(tmp_path), 0)
