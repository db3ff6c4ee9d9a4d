"""Files of a unit folder: read with a bound, hashed once, decoded as what they are, and never written here."""

import hashlib
from dataclasses import dataclass, field
from pathlib import Path

from partingline.model import Evidence, Place, Problem, Whole

TEXT_LIMIT = 4 << 20
"""Bytes of a text that people write: a hundred times what a unit needs."""
HASH_LIMIT = 2 << 30
"""Bytes of a file that is read through for its hash."""
_CHUNK = 1 << 20
_SMALL = 1 << 16
"""Bytes up to which a file is always read for its hash: what people edit may change twice within one tick."""
Stamp = tuple[str, int, int, int]
"""Name, time of the last change in ns, size and node: what changes with the content of a file."""


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
    """A unit folder. Problems collect here as files are read. `known` keeps hashes of large files between folders."""

    root: Path
    problems: list[Problem] = field(default_factory=list)
    known: dict[Stamp, str] = field(default_factory=dict)
    _hashes: dict[str, str] = field(default_factory=dict)

    def path(self, name: str) -> Path | None:
        """The file of a name inside the folder; None (and a problem) for one that leads out of it."""
        path = self._inside(name)
        if path is None:
            found = "the path leads out of the unit folder"
            self.report(name, found, "a path inside the folder", "Copy the file in.")
        return path

    def has(self, name: str) -> bool:
        """Whether a regular file of that name is there, inside the folder."""
        path = self._inside(name)
        return path is not None and path.is_file()

    def pointed(self, name: str, place: Evidence) -> tuple[Evidence, ...]:
        """Evidence in a file that another one names at `place`, as a photo; a problem where it is not there."""
        if self.has(name):
            return (self.evidence(name),)
        step = "Copy the file in, or correct the name."
        self.report(place.path, f"'{name}' is not there", "a file in the unit folder", step, place.place, loses=False)
        return ()

    def names(self, folder: str, *endings: str) -> tuple[str, ...]:
        """Relative names of the files directly in a subfolder with one of the endings, sorted.

        A link that leads out of the unit folder is reported and left out.
        """
        inside = self.entries(folder)
        found = (p for p in inside if p.is_file() and (not endings or p.name.lower().endswith(endings)))
        names = sorted(p.relative_to(self.root).as_posix() for p in found)
        return tuple(name for name in names if self.path(name) is not None)

    def entries(self, folder: str) -> list[Path]:
        """What lies directly in a subfolder; empty, and a problem, where that is a file or cannot be read."""
        root = self.root / folder
        if root.exists() and not root.is_dir():
            self.report(folder, "a file", "a folder", f"Move the file away and make a folder '{folder}'.")
        try:
            return list(root.iterdir()) if root.is_dir() else []
        except OSError as error:
            self.report(folder, f"unreadable ({error.strerror})", "a folder", "Check its permissions.")
            return []

    def sha256(self, name: str) -> str:
        """Hex digest of a file's content, read in pieces, once; '' where there is none, it cannot be read, it lies
        outside the folder or is larger than `HASH_LIMIT` (said as a problem, once)."""
        if name not in self._hashes:
            self._hashes[name] = ""
            self._hashes[name] = self._hash(name)
        return self._hashes[name]

    def digest(self, name: str, algorithm: str) -> str:
        """Hex digest by an algorithm that hashlib knows; '' as for `sha256`."""
        path = self._inside(name)
        return self._digest(name, path, algorithm) if path is not None and path.is_file() else ""

    def ends(self, name: str, first: int, last: int) -> tuple[bytes, bytes]:
        """The first and the last bytes of a file; empty where it cannot be read."""
        try:
            with (self.root / name).open("rb") as stream:
                head = stream.read(first)
                stream.seek(max(0, stream.seek(0, 2) - last))
                return head, stream.read(last)
        except OSError as error:
            step = "Check the file's permissions."
            self.report(name, f"unreadable ({error.strerror})", "a readable file", step)
            return b"", b""

    def evidence(self, name: str, place: Place | None = None) -> Evidence:
        """A pointer into a file of this folder."""
        return Evidence(name, self.sha256(name), place or Whole())

    def text(self, name: str, expected: str, *, needed: bool = False) -> TextFile | None:
        """A text file; None and a problem that says why where it is missing (if needed), empty, binary, too large."""
        path = self.path(name)
        if path is None:
            return None
        if not path.is_file():
            if path.exists():
                self.report(name, "no file but a folder", expected, "Move it away and put the file in its place.")
            elif needed:
                self.report(name, "no such file", expected, "Write it; `partingline init` shows the form.")
            return None
        data = self._bytes(name, path, expected)
        if data is None:
            return None
        text, guessed = _decode(data)
        if text is None:
            self.report(name, "binary data", f"text in UTF-8: {expected}", "Put the text file in its place.")
            return None
        if guessed:
            found = f"not UTF-8 (byte {_first_odd(data)}); read as Windows-1252"
            self.report(name, found, "text in UTF-8", "Look whether signs such as µ and ± are right.", loses=False)
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

    def _inside(self, name: str) -> Path | None:
        try:
            path = (self.root / name).resolve()
            return path if path.is_relative_to(self.root.resolve()) else None
        except (OSError, RuntimeError, ValueError):  # a loop of links, a name that no file can have
            return None

    def _hash(self, name: str) -> str:
        """The hash of a file; that of a large one is read once for all folders that share `known`."""
        path = self._inside(name)
        told = stamp(path) if path is not None and path.is_file() else None
        if told is None or told[2] <= _SMALL or told not in self.known:
            digest = self.digest(name, "sha256")
            if told is not None and told[2] > _SMALL and digest:
                self.known[told] = digest
            return digest
        return self.known[told]

    def _digest(self, name: str, path: Path, algorithm: str) -> str:
        digest = hashlib.new(algorithm)
        try:
            if (size := path.stat().st_size) > HASH_LIMIT:
                found, expected = f"{size >> 20} MiB, too large for a hash", f"at most {HASH_LIMIT >> 20} MiB"
                self.report(name, found, expected, "Split or shorten it; its evidence has no hash.", loses=False)
                return ""
            with path.open("rb") as stream:
                while chunk := stream.read(_CHUNK):
                    digest.update(chunk)
        except OSError as error:
            step = "Check the file's permissions."
            self.report(name, f"unreadable ({error.strerror})", "a readable file", step)
            return ""
        return digest.hexdigest()

    def _bytes(self, name: str, path: Path, expected: str) -> bytes | None:
        try:
            size = path.stat().st_size
            if size > TEXT_LIMIT:
                bound = f"{expected}, at most {TEXT_LIMIT >> 20} MiB"
                self.report(name, f"{size >> 20} MiB", bound, "Is it the right file? Split it if so.")
                return None
            return path.read_bytes()
        except OSError as error:
            self.report(name, f"unreadable ({error.strerror})", expected, "Check the file's permissions.")
            return None


def stamp(path: Path) -> Stamp | None:
    """The stamp of a file; None where there is none."""
    try:
        told = path.stat()
    except OSError:
        return None
    return path.name, told.st_mtime_ns, told.st_size, told.st_ino


def _decode(data: bytes) -> tuple[str | None, bool]:
    """The text, or None; and whether its encoding was guessed."""
    for mark, encoding in ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"), (b"\xef\xbb\xbf", "utf-8-sig")):
        if data.startswith(mark):
            return _try(data, encoding), False
    if b"\0" in data:
        return None, False
    text = _try(data, "utf-8")
    return (text, False) if text is not None else (_try(data, "cp1252"), True)


def _try(data: bytes, encoding: str) -> str | None:
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        return None
    control = sum(1 for c in text[:4096] if ord(c) < 32 and c not in "\t\n\r\f\v")
    return None if control > len(text[:4096]) * 0.02 else text


def _first_odd(data: bytes) -> int:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        return error.start + 1
    return 0
