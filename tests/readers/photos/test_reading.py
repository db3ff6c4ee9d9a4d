"""Text proposed from rendered crops, upright and turned; and what the grammar makes of letters that look alike."""

import warnings

import pytest
from PIL import Image, ImageDraw, ImageFont

from partingline.readers.markings import decode_marking
from partingline.readers.photos.reading import preferred, propose


def _rendered(text: str) -> Image.Image:
    font = ImageFont.load_default(size=36)
    image = Image.new("RGB", (int(font.getlength(text)) + 20, 56), "#e7e3d8")
    ImageDraw.Draw(image).text((10, 6), text, "#20262b", font)
    return image


@pytest.mark.parametrize("turn", [90])
def test_a_line_is_read_in_every_direction(turn: int) -> None:
    pytest.importorskip("rapidocr")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        lines = propose(_rendered("INPUT 100-240V 50/60Hz").rotate(turn, expand=True))
    assert "".join(line.read for line in lines).replace(" ", "").startswith("INPUT100-240V50/60Hz")
    assert (lines[0].turn + turn) % 360 == 0


def test_the_grammar_prefers_what_is_a_marking() -> None:
    def fits(text: str) -> float:
        return 1.0 if decode_marking(text, "resistor") else 0.0

    assert fits("4R7") == 1.0
    assert preferred("1OO2", fits) == "1002"
    assert preferred("4R7", fits) == "4R7"
    assert preferred("1OO2", None) == "1OO2"
