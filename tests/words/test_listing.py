"""Advertised claims as statements, and unreadable words said as problems. All texts are invented."""

import shutil
from pathlib import Path

import pytest

from partingline.facts.opened import Opened, open_unit
from partingline.facts.statements.listing import listing_statements
from partingline.model import Interval, Number, Route
from partingline.readers.folder import Folder

from ..demo_unit import TERN

Said = list[tuple[str, float | tuple[float, float], str]]


def _claims(demo: Opened, root: Path, text: str) -> tuple[Said, list[str]]:
    (root / "words").mkdir(exist_ok=True)
    (root / "words" / "listing.md").write_text(text, encoding="utf-8")
    folder = Folder(root)
    found: Said = []
    for one in listing_statements(folder, demo.unit):
        value = one.value
        assert isinstance(value, Number | Interval)
        shown = value.value if isinstance(value, Number) else (value.low, value.high)
        found.append((one.key.id, shown, one.sense.value))
    return found, [str(problem) for problem in folder.problems]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("65 W fast charging", [("unit/output_power", 65.0, "at least")]),
        ("- sixty-five watts on port C1", [("port:C1/output_power", 65.0, "at least")]),
        ("* USB-C1 delivers 45W and USB-A 18W",
         [("port:C1/output_power", 45.0, "at least"), ("port:A1/output_power", 18.0, "at least")]),
        ("C1 + A1 together 65 W", [("ports:A1+C1/output_power", 65.0, "at least")]),
        ("C1 + A1: 45 W + 18 W",
         [("port:C1/output_power@with=A1", 45.0, "at least"), ("port:A1/output_power@with=C1", 18.0, "at least")]),
        ("5V⎓3A, 20V⎓3.25A on C1",
         [("port:C1/available_current@offer=5", 3.0, "at least"),
          ("port:C1/available_current@offer=20", 3.25, "at least")]),
        ("up to 94 % efficiency", [("unit/peak_efficiency", 0.94, "at least")]),
        ("average efficiency of ninety-one point two percent", [("unit/average_efficiency", 0.912, "at least")]),
        ("less than 0.05 W standby", [("unit/no_load_power", 0.05, "at most")]),
        ("ripple below 60 mV p-p", [("unit/ripple_voltage", 0.06, "at most")]),
        ("the case stays under 60 °C", [("unit/surface_temperature", 60.0, "at most")]),
        ("weighs only one hundred and eighteen grams", [("unit/mass", 0.118, "equals")]),
        ("42 x 40 x 28.4 mm", [("unit/length", 0.042, "equals"), ("unit/width", 0.04, "equals"),
                               ("unit/height", 0.0284, "equals")]),
        ("1.3 W/cm³", [("unit/power_density", 1.3e6, "equals")]),
        ("input 100-240V~ 50/60Hz 1.8A",
         [("unit/rated_input_voltage", (100.0, 240.0), "within"),
          ("unit/rated_input_frequency", (50.0, 60.0), "within"),
          ("unit/rated_input_current", 1.8, "equals")]),
        ("dual 4K 60 Hz", [("unit/video_refresh@displays=2,size=3840×2160", 60.0, "at least")]),
        ("18 months of warranty <!-- 20 W on A1 -->", []),
    ],
)  # fmt: skip
def test_a_line_becomes_claims(demo: Opened, tmp_path: Path, text: str, expected: Said) -> None:
    found, problems = _claims(demo, tmp_path, f"# Shop page\n\n{text}\n")
    assert found == expected
    assert problems == []


def test_a_figure_of_nothing_known_is_said(demo: Opened, tmp_path: Path) -> None:
    found, problems = _claims(demo, tmp_path, "something with 42 mm")
    assert found == []
    assert len(problems) == 1
    assert "line 1" in problems[0]


@pytest.mark.parametrize("name", ["captions.vtt", "narration.md"])
def test_words_that_cannot_be_read_are_said(tmp_path: Path, name: str) -> None:
    unit = tmp_path / "unit"
    shutil.copytree(TERN, unit)
    file = unit / "words" / name
    file.write_bytes(b"\x00\x81\x8d\xff" * 40)
    told = [problem for problem in open_unit(unit).problems if problem.evidence.path == f"words/{name}"]
    assert [problem.found for problem in told] == ["binary data"]
    file.unlink()
    file.mkdir()
    assert [p.found for p in open_unit(unit).problems if p.evidence.path == f"words/{name}"] == ["no file but a folder"]


def test_without_captions_the_narration_speaks(tmp_path: Path) -> None:
    unit = tmp_path / "unit"
    shutil.copytree(TERN, unit)
    (unit / "words" / "captions.vtt").unlink()
    (unit / "words" / "narration.md").write_text("It weighs 181 grams.\n", encoding="utf-8")
    facts = open_unit(unit).book.facts()
    spoken = [(fact.key.id, one) for fact in facts for one in fact.statements if one.route is Route.SPOKEN]
    assert [(key, one.evidence[0].path) for key, one in spoken] == [("unit/mass", "words/narration.md")]
