"""Text proposed from rendered crops, upright and turned; and what the grammar makes of letters that look alike."""

import importlib
import warnings
from pathlib import Path

import pytest
from PIL import Image, ImageDraw, ImageFont

from partingline.readers.markings import decode_marking
from partingline.readers.photos.grammar import mended, understood
from partingline.readers.photos.reading import preferred, propose

ROOT = Path(__file__).parents[3]


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


@pytest.mark.parametrize("kind", ["skewed", "curved", "low contrast", "laser-marked"])
def test_hard_print_is_read(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """One line of each kind; the figures of all lines are those of `benchmarks/ocr.py`."""
    pytest.importorskip("rapidocr")
    monkeypatch.syspath_prepend(str(ROOT / "benchmarks"))
    ocr = importlib.import_module("ocr")
    wanted = "104K310VX2"
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        lines = propose(ocr.render("104K 310V X2", kind, 4), understood)
    assert ocr.distance("".join(line.text for line in lines).replace(" ", ""), wanted) <= 1


def test_lines_stand_in_the_order_of_the_label_when_it_is_upside_down() -> None:
    pytest.importorskip("rapidocr")
    image = Image.new("RGB", (560, 150), "#e7e3d8")
    for at, text in ((20, "OUTPUT: 20V 3.25A"), (85, "Model FM-T65")):
        ImageDraw.Draw(image).text((20, at), text, "#20262b", ImageFont.load_default(size=36))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        lines = propose(image.rotate(180))
    assert [line.text.replace(" ", "") for line in lines] == ["OUTPUT:20V3.25A", "ModelFM-T65"]
    assert {line.turn for line in lines} == {180}


@pytest.mark.parametrize(
    ("read", "meant"),
    [
        ("100-240V-50/60HZ 1.8A", "100-240V~ 50/60Hz 1.8A"),
        ("5V=3A 9V=2A", "5V⎓3A 9V⎓2A"),
        ("100-240V", "100-240V"),
        ("HZ-25", "HZ-25"),
    ],
)
def test_slips_that_a_label_rules_out_are_mended(read: str, meant: str) -> None:
    """Hz: SI Brochure, 9th edition, table 4. Signs of alternating and direct current: IEC 60417-5032 and -5031."""
    assert mended(read) == meant


def test_a_text_that_means_something_stays_as_it_was_read() -> None:
    assert preferred("GS1M", understood) == "GS1M"
    assert preferred("NQ65A 2631", understood) == "NQ65A 2631"
