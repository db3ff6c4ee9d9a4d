"""What is wrong with a bag: complete and valid are told apart (RFC 8493, 3)."""

import re
from pathlib import Path

from partingline.publish.bag.write import digests

_LINE = re.compile(r"^([0-9a-fA-F]+)[ \t]+\*?(.+)$")
_KNOWN = ("sha512", "sha256", "sha1", "md5")


def verify_bag(bag: Path) -> list[str]:
    """Every deviation as a sentence with its file; empty where the bag is complete and valid."""
    declared = bag / "bagit.txt"
    if not declared.is_file() or "BagIt-Version:" not in declared.read_text("utf-8", errors="replace"):
        return [f"{declared}: no bag declaration; expected 'BagIt-Version: 1.0': is it a bag?"]
    manifests = sorted(bag.glob("manifest-*.txt"))
    if not manifests:
        return [f"{bag}: no manifest; expected manifest-sha256.txt or manifest-sha512.txt"]
    found = {path.relative_to(bag).as_posix() for path in (bag / "data").rglob("*") if path.is_file()}
    problems: list[str] = []
    for manifest in [*manifests, *sorted(bag.glob("tagmanifest-*.txt"))]:
        listed = _read(manifest, problems)
        problems += _held(bag, manifest, listed)
        if not manifest.name.startswith("tag"):
            problems += [f"{name}: in the payload, but not in {manifest.name}" for name in sorted(found - set(listed))]
    return [*problems, *_oxum(bag, found)]


def _read(manifest: Path, problems: list[str]) -> dict[str, str]:
    listed: dict[str, str] = {}
    for number, line in enumerate(manifest.read_text("utf-8", errors="replace").splitlines(), 1):
        match = _LINE.match(line)
        if match is None:
            if line.strip():
                problems.append(f"{manifest.name}, line {number}: expected a digest and a path")
            continue
        name = (
            match[2]
            .replace("%0A", "\n")
            .replace("%0a", "\n")
            .replace("%0D", "\r")
            .replace("%0d", "\r")
            .replace("%25", "%")
        )
        listed[name] = match[1].lower()
    return listed


def _held(bag: Path, manifest: Path, listed: dict[str, str]) -> list[str]:
    algorithm = manifest.stem.rpartition("-")[2]
    if algorithm not in _KNOWN:
        return [f"{manifest.name}: unknown algorithm '{algorithm}'; expected one of {', '.join(_KNOWN)}"]
    problems = []
    root = bag.resolve()
    for name, expected in listed.items():
        path = bag / name
        if not path.resolve().is_relative_to(root):
            problems.append(f"{manifest.name}: '{name}' leads out of the bag")
        elif not path.is_file():
            problems.append(f"{name}: listed in {manifest.name}, but not there")
        elif digests(path, (algorithm,))[algorithm] != expected:
            problems.append(f"{name}: changed since it was sealed ({manifest.name})")
    return problems


def _oxum(bag: Path, found: set[str]) -> list[str]:
    info = bag / "bag-info.txt"
    match = (
        re.search(r"^Payload-Oxum:\s*(\d+)\.(\d+)", info.read_text("utf-8", errors="replace"), re.MULTILINE)
        if info.is_file()
        else None
    )
    if match is None:
        return []
    size = sum((bag / name).stat().st_size for name in found)
    told = f"{size}.{len(found)}"
    return [] if match[0].endswith(told) else [f"bag-info.txt: {match[0]}, but the payload is {told}"]
