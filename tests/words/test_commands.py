"""The commands of the words part, from the prompt to the files."""

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from partingline.cli.app import app

DEMO = Path(__file__).parents[2] / "demo" / "tern-65"
CAPTIONS = DEMO / "words" / "captions.vtt"


def _run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, list(words))
    return result.exit_code, result.output


def test_words_says_the_slips_and_writes_a_new_file(tmp_path: Path) -> None:
    before = CAPTIONS.read_bytes()
    code, text = _run("words", str(DEMO), str(CAPTIONS), "--out", str(tmp_path / "new.vtt"))
    assert code == 1
    assert "twenty seven microfarads" in " ".join(text.split())
    assert _run("words", str(DEMO), str(tmp_path / "new.vtt"))[0] == 0
    assert CAPTIONS.read_bytes() == before
    assert _run("words", str(DEMO), str(CAPTIONS), "--out", str(CAPTIONS))[0] != 0
    assert CAPTIONS.read_bytes() == before


def test_words_as_json_keeps_its_schema() -> None:
    import jsonschema

    from partingline.publish.records import json_schema

    code, text = _run("words", str(DEMO), str(CAPTIONS), "--json")
    assert code == 1
    jsonschema.validate(json.loads(text), json_schema("words"))


def test_what_cannot_be_read_is_said(tmp_path: Path) -> None:
    assert _run("words", str(DEMO), str(tmp_path / "none.vtt"))[0] == 2
    (tmp_path / "odd.vtt").write_bytes(b"\x81\x8d\x00\xff")
    assert _run("words", str(DEMO), str(tmp_path / "odd.vtt"))[0] == 2
    assert _run("script", str(DEMO), "--templates", str(tmp_path / "none"))[0] == 2
    assert _run("publish", str(DEMO), "--language", "tlh")[0] == 2
    assert _run("diff", str(tmp_path), str(DEMO))[0] == 2
    assert _run("bag", str(tmp_path), "--verify")[0] == 1


def test_bag_then_change_then_diff(tmp_path: Path) -> None:
    unit, bag = tmp_path / "unit", tmp_path / "bag"
    shutil.copytree(DEMO, unit)
    assert _run("bag", str(unit), str(bag))[0] == 0
    assert _run("bag", "--verify", str(bag))[0] == 0
    assert _run("diff", str(bag), str(unit))[0] == 0
    text = (unit / "unit.toml").read_text("utf-8")
    assert 'mass = "118.4 ' in text
    (unit / "unit.toml").write_text(text.replace('mass = "118.4 ', 'mass = "121.9 '), encoding="utf-8")
    note = tmp_path / "note.md"
    code, told = _run("diff", str(bag), str(unit), "--note", str(note), "--reason", "The scale was off.")
    assert code == 1
    assert "unit/mass" in told
    assert "The scale was off." in note.read_text("utf-8")
    (bag / "data" / "unit" / "parts.csv").write_text("changed")
    assert _run("bag", "--verify", str(bag))[0] == 1


def test_a_language_without_its_face_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from partingline.publish import fonts

    assert fonts.missing("充电器, 4.31 ± 0.06 mm ≥ 5 µF ⎓ ●") == ""
    assert fonts.missing("\U0001f600") == "\U0001f600"
    monkeypatch.setattr(fonts, "held", dict)
    code, text = _run("publish", str(DEMO), "--language", "zh-Hans", "--out", str(tmp_path))
    assert code == 0
    assert "No face has" in " ".join(text.split())
    assert (tmp_path / "article.pdf").exists()
