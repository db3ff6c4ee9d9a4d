"""The committed folder is what `demo/make.py` writes: bytes, except pictures, which are compared pixel by pixel."""

import hashlib
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

PICTURES = {".jpg", ".png"}


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory, unit_folder: Path) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    subprocess.run([sys.executable, str(unit_folder.parent / "make.py"), str(folder)], check=True, timeout=100)
    return folder


def _names(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def test_same_files(fresh: Path, unit_folder: Path) -> None:
    assert _names(fresh) == _names(unit_folder)


def test_same_bytes(fresh: Path, unit_folder: Path) -> None:
    for name in _names(unit_folder):
        if Path(name).suffix in PICTURES:
            continue
        new, old = (hashlib.sha256((folder / name).read_bytes()).hexdigest() for folder in (fresh, unit_folder))
        assert new == old, name


def test_same_pictures(fresh: Path, unit_folder: Path) -> None:
    """Another release of the picture library may pack the same drawing into other bytes."""
    for name in _names(unit_folder):
        if Path(name).suffix not in PICTURES:
            continue
        pixels = [np.asarray(Image.open(folder / name).convert("RGB"), float) for folder in (fresh, unit_folder)]
        assert pixels[0].shape == pixels[1].shape, name
        assert float(np.abs(pixels[0] - pixels[1]).mean()) < 1.0, name


def test_sizes(unit_folder: Path) -> None:
    sizes = {name: (unit_folder / name).stat().st_size for name in _names(unit_folder)}
    assert sum(sizes.values()) < 12e6
    assert all(size < 600e3 for name, size in sizes.items() if name.startswith("photos/"))
    assert all(size < 2e6 for name, size in sizes.items() if name.startswith("logs/"))
    assert sizes["captures/c1-attach.sigmf-data"] < 6e6


def test_pictures_carry_no_metadata(unit_folder: Path) -> None:
    for path in (unit_folder / "photos").iterdir():
        if path.suffix in PICTURES:
            with Image.open(path) as picture:
                assert 1600 <= picture.width <= 2400
                assert not picture.getexif()
