"""What `partingline init` writes: a commented unit folder in which nothing is claimed yet."""

from importlib.resources import files
from pathlib import Path

FOLDERS = ("photos", "captures", "logs", "words")


def write_skeleton(folder: Path) -> list[Path]:
    """Write the skeleton's files into a folder and return them. A file that is already there is never touched."""
    written: list[Path] = []
    for name in FOLDERS:
        (folder / name).mkdir(parents=True, exist_ok=True)
    source = files("partingline.readers.unitfile") / "skeleton"
    for name in ("unit.toml", "parts.csv", "logs/logs.toml", "words/listing.md"):
        target = folder / name
        if not target.exists():
            target.write_text((source / name.replace("/", "-")).read_text(encoding="utf-8"), encoding="utf-8")
            written.append(target)
    return written
