"""`history.jsonl`: who changed what, when. Lines are only ever added."""

import json
from collections import deque
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

Entry = dict[str, Any]
_TAIL = 5000
"""Entries kept at hand; older ones are read from the file."""


class History:
    """The history of one unit. Use it while the unit's lock is held; `refresh` takes in what others added."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.number = 0
        self.sha256: dict[str, str] = {}
        self.latest: dict[tuple[str, str], Entry] = {}
        self.tail: deque[Entry] = deque(maxlen=_TAIL)
        self._read_to = 0

    def refresh(self) -> None:
        """Read the lines that were added since the last time; a file that was cut short is read anew."""
        size = self.file.stat().st_size if self.file.is_file() else 0
        if size < self._read_to:
            self.__init__(self.file)  # type: ignore[misc]
        if size > self._read_to:
            with self.file.open("rb") as stream:
                stream.seek(self._read_to)
                data = stream.read(size - self._read_to)
            whole = data[: data.rfind(b"\n") + 1]
            self._read_to += len(whole)
            for entry in _entries(whole):
                self._take(entry)

    def add(self, entry: Entry) -> Entry:
        """Append an entry; it is given its number and its time."""
        self.refresh()
        full = {"n": self.number + 1, "when": _now(), **entry}
        line = (json.dumps(full, ensure_ascii=False) + "\n").encode("utf-8", "backslashreplace")
        with self.file.open("ab") as stream:
            torn = stream.tell() > self._read_to
            stream.write(b"\n" + line if torn else line)
        self.refresh()
        return full

    def entry(self, number: int) -> Entry | None:
        """The entry of a number, or None."""
        return next((entry for entry in self.back() if entry["n"] == number), None)

    def back(self) -> Iterator[Entry]:
        """All entries, the latest first."""
        yield from reversed(self.tail)
        if self.number > len(self.tail) and self.file.is_file():
            first = self.tail[0]["n"] if self.tail else 0
            older = [entry for entry in _entries(self.file.read_bytes()) if entry["n"] < first]
            yield from reversed(older)

    def _take(self, entry: Entry) -> None:
        self.number = max(self.number, entry["n"])
        self.tail.append(entry)
        self.sha256[str(entry["file"])] = str(entry.get("sha256", ""))
        self.latest[str(entry["file"]), json.dumps(entry.get("path"))] = entry


def _entries(data: bytes) -> Iterator[Entry]:
    """The lines that are entries; others (a torn line, a remark by hand) stay in the file and are not read."""
    for line in data.split(b"\n"):
        try:
            entry = json.loads(line)
        except ValueError:
            continue
        if isinstance(entry, dict) and isinstance(entry.get("n"), int) and isinstance(entry.get("file"), str):
            yield entry


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
