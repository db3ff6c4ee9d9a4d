"""The generated pages say what the program says today; `make docs` writes them anew."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[1]


def _tool() -> ModuleType:
    spec = importlib.util.spec_from_file_location("build_docs", ROOT / "tools" / "build_docs.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize(("name", "text"), _tool().pages().items(), ids=lambda value: str(value)[:40])
def test_page_is_not_behind_the_program(name: str, text: str) -> None:
    path = ROOT / "docs" / name
    assert path.exists(), f"docs/{name} is missing: run `make docs`"
    assert path.read_text(encoding="utf-8") == text, f"docs/{name} is behind: run `make docs`"
