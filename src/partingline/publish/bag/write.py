"""Write a bag: payload, manifests in SHA-256 and SHA-512, bag-info and tag manifests (RFC 8493, 2.1 and 2.2)."""

import hashlib
import shutil
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path

ALGORITHMS = ("sha256", "sha512")
LEFT_OUT = frozenset({"report", "cache", "publication", "__pycache__"})
"""Folders of a unit that are derived from the rest."""
_CHUNK = 1 << 20


def write_bag(unit: Path, published: Mapping[str, bytes], out: Path, *, title: str, day: date) -> Path:
    """Copy the unit folder to `data/unit`, the publication to `data/publication`, and seal both.

    published: bytes by relative name. FileExistsError where `out` is not empty, ValueError where it lies in the unit.
    """
    if out.resolve().is_relative_to(unit.resolve()):
        raise ValueError(
            f"{out} lies inside {unit}; a bag holds the unit and so cannot be inside it: choose another place"
        )
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise FileExistsError(f"{out} is there already; a bag is written once: choose a name that is free")
    data = out / "data"
    for name in _unit_files(unit):
        target = data / "unit" / name
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(unit / name, target)
    for name, content in published.items():
        target = data / "publication" / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
    _seal(out, title, day)
    return out


def _unit_files(unit: Path) -> list[str]:
    """Regular files of the unit that nobody derived, sorted; links that lead out of the folder are left out."""
    root = unit.resolve()
    found = []
    for path in sorted(unit.rglob("*")):
        name = path.relative_to(unit)
        hidden = any(part.startswith(".") for part in name.parts)
        if path.is_file() and not hidden and name.parts[0] not in LEFT_OUT and path.resolve().is_relative_to(root):
            found.append(name.as_posix())
    return found


def _seal(bag: Path, title: str, day: date) -> None:
    payload = sorted(path for path in (bag / "data").rglob("*") if path.is_file())
    size = sum(path.stat().st_size for path in payload)
    _text(bag / "bagit.txt", ["BagIt-Version: 1.0", "Tag-File-Character-Encoding: UTF-8"])
    told = [
        f"Bagging-Date: {day.isoformat()}",
        f"Payload-Oxum: {size}.{len(payload)}",
        f"External-Description: {' '.join(title.split())}",
    ]
    _text(bag / "bag-info.txt", [*told, "Bag-Software-Agent: Partingline"])
    _manifests(bag, "manifest", payload)
    tags = [bag / name for name in ("bagit.txt", "bag-info.txt", *(f"manifest-{one}.txt" for one in ALGORITHMS))]
    _manifests(bag, "tagmanifest", tags)


def _manifests(bag: Path, kind: str, files: Iterable[Path]) -> None:
    lines: dict[str, list[str]] = {one: [] for one in ALGORITHMS}
    for path in files:
        for algorithm, digest in digests(path, ALGORITHMS).items():
            lines[algorithm].append(f"{digest}  {encoded(path.relative_to(bag).as_posix())}")
    for algorithm, told in lines.items():
        _text(bag / f"{kind}-{algorithm}.txt", told)


def _text(path: Path, lines: list[str]) -> None:
    path.write_bytes(("\n".join(lines) + "\n").encode("utf-8"))


def encoded(name: str) -> str:
    """A path in a manifest: CR, LF and % in percent-encoding (RFC 8493, 2.1.3)."""
    return name.replace("%", "%25").replace("\n", "%0A").replace("\r", "%0D")


def digests(path: Path, algorithms: Iterable[str]) -> dict[str, str]:
    """Hex digests of a file, read once in pieces."""
    running = {name: hashlib.new(name) for name in algorithms}
    with path.open("rb") as stream:
        while chunk := stream.read(_CHUNK):
            for digest in running.values():
                digest.update(chunk)
    return {name: digest.hexdigest() for name, digest in running.items()}
