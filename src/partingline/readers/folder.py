"""Files of a unit folder: read with a bound, hashed once, decoded as what they are, and never written here."""

import hashlib
from dataclasses import dataclass, field
from pathlib import Path

from partingline.model import Evidence, Place, Problem, Whole

TEXT_LIMIT = 32 * 1024 * 1024
_CHUNK = 1 << 20


@dataclass(frozen=True, slots=True)
class TextFile:
    """A text file as it was found: path relative to the folder, text without byte-order mark, hash of the bytes."""

    path: str
    text: str
    sha256: str

    def at(self, place: Place) -> Evidence:
        """A pointer into this file."""
        return Evidence(self.path, self.sha256, place)


@dataclass
class Folder:
    """A unit folder. Problems collect here as files are read."""

    root: Path
    problems: list[Problem] = field(default_factory=list)
    _hashes: dict[str, str] = field(default_factory=dict)

    def path(self, name: str) -> Path | None:
        """The file of a name inside the folder; None (and a problem) for one that leads out of it."""
        path = (self.root / name).resolve()
        if path.is_relative_to(self.root.resolve()):
            return path
        self.report(name, "the path leads out of the unit folder", "a path inside the folder", "Copy the file in.")
        return None

    def has(self, name: str) -> bool:
        """Whether a regular file of that name is there."""
        return (self.root / name).is_file()

    def names(self, folder: str, *endings: str) -> tuple[str, ...]:
        """Relative names of the files directly in a subfolder with one of the endings, sorted."""
        root = self.root / folder
        if not root.is_dir():
            return ()
        found = (p for p in root.iterdir() if p.is_file() and (not endings or p.name.lower().endswith(endings)))
        return tuple(sorted(p.relative_to(self.root).as_posix() for p in found))

    def sha256(self, name: str) -> str:
        """Hex digest of a file's content, '' where there is none; read in pieces, once."""
        if name not in self._hashes:
            path = self.root / name
            digest = hashlib.sha256()
            if not path.is_file():
                return ""
            with path.open("rb") as stream:
                while chunk := stream.read(_CHUNK):
                    digest.update(chunk)
            self._hashes[name] = digest.hexdigest()
        return self._hashes[name]

    def evidence(self, name: str, place: Place | None = None) -> Evidence:
        """A pointer into a file of this folder."""
        return Evidence(name, self.sha256(name), place or Whole())

    def text(self, name: str, expected: str, *, needed: bool = False) -> TextFile | None:
        """A text file, or None and a problem that says why: missing (if needed), empty, binary, too large, unreadable."""
        path = self.path(name)
        if path is None:
            return None
        if not path.is_file():
            if needed or path.exists():
                self.report(name, "no such file", expected, "Write it; `partingline init` shows the form.")
            return None
        data = self._bytes(name, path, expected)
        if data is None:
            return None
        text = _decode(data)
        if text is None:
            self.report(name, "binary data", f"text: {expected}", "Put the text file in its place.")
            return None
        if not text.strip():
            self.report(name, "an empty file", expected, "Fill it in, or remove it.", loses=False)
            return None
        return TextFile(name, text, self.sha256(name))

    def report(
        self,
        name: str,
        found: str,
        expected: str,
        next_step: str,
        place: Place | None = None,
        *,
        loses: bool = True,
    ) -> None:
        """Keep a problem."""
        self.problems.append(Problem(self.evidence(name, place), found, expected, next_step, loses))

    def _bytes(self, name: str, path: Path, expected: str) -> bytes | None:
        size = path.stat().st_size
        if size > TEXT_LIMIT:
            bound = TEXT_LIMIT >> 20
            self.report(
                name,
                f"{size >> 20} MiB",
                f"{expected}, at most {bound} MiB",
                "Is it the right file? Split it if so.",
            )
            return None
        try:
            return path.read_bytes()
        except OSError as error:
            self.report(name, f"unreadable ({error.strerror})", expected, "Check the file's permissions.")
            return None


def _decode(data: bytes) -> str | None:
    for mark, encoding in ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"), (b"\xef\xbb\xbf", "utf-8-sig")):
        if data.startswith(mark):
            return _try(data, encoding)
    if b"\0" in data[:65536]:
        return None
    text = _try(data, "utf-8")
    return text if text is not None else _try(data, "cp1252")


def _try(data: bytes, encoding: str) -> str | None:
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        return None
    control = sum(1 for c in text[:4096] if ord(c) < 32 and c not in "\t\n\r\f\v")
    return None if control > len(text[:4096]) * 0.02 else text
