"""The demonstration unit as committed, and its model, which is a script of its own beside the project."""

import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

DEMO = Path(__file__).resolve().parents[2] / "demo"
sys.path.insert(0, str(DEMO))


@pytest.fixture(scope="session")
def unit_folder() -> Path:
    """`demo/tern-65` as committed."""
    return DEMO / "tern-65"


@pytest.fixture(scope="session")
def unit_file(unit_folder: Path) -> dict[str, Any]:
    """`unit.toml`, parsed."""
    return tomllib.loads((unit_folder / "unit.toml").read_text("utf-8"))
