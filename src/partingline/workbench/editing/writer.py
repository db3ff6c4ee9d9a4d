"""The one writer of a unit folder: lock, compare, change, read back, replace in one move, keep in the history."""

import hashlib
import os
import shutil
from contextlib import suppress
from pathlib import Path as File
from typing import Any

from partingline.readers.folder import TEXT_LIMIT
from partingline.workbench.editing.draft import hold_readable
from partingline.workbench.editing.forms import EDITABLE, WORDS, form_of
from partingline.workbench.editing.history import Entry, History
from partingline.workbench.editing.lock import locked
from partingline.workbench.editing.outcome import ConflictError, Done, RefusedError
from partingline.workbench.editing.versions import ABSENT, Path

_MOST_KEPT = 256 << 10
"""Characters of a file's text that the history keeps of an edit by hand."""


class Writer:
    """Edits the files of one unit folder. Any number of writers, in one program or several, may have one folder."""

    def __init__(self, root: File, lock: File) -> None:
        self.root = root.resolve()
        self.history = History(self._inside("history.jsonl"))
        self._lock = lock
        self._texts: dict[str, str] = {}

    def read(self, file: str) -> str:
        """The text of a file as it is now; empty where there is none."""
        form_of(file)
        return self._text(file)

    def edit(self, file: str, path: Path, value: Any, base: str, who: str, undoes: int | None = None) -> Done:
        """Set one field that has the version `base`; a value of None takes it away.

        Raises ConflictError where it has another version, RefusedError where it cannot be or would not be readable.
        """
        form = form_of(file)
        with locked(self._lock):
            self._notice(file)
            before = self._text(file)
            theirs, version = form.look(before, path)
            if version != base:
                raise self._conflict(file, path, value, theirs, version)
            if theirs == value:
                return Done(file, path, value, version, None)
            after, found = form.put(before, path, value)
            hold_readable(self.root, file, before, after)
            now, version = form.look(after, found)
            if value is None and path and isinstance(path[-1], int):
                now, version = None, ABSENT
            sha256 = self._replace(file, after)
            entry = self.history.add(
                {
                    "who": who, "file": file, "path": list(found), "before": theirs, "after": now,
                    "version": version, "sha256": sha256, "undoes": undoes,
                }
            )  # fmt: skip
            self._texts[file] = after
            return Done(file, found, now, version, int(entry["n"]))

    def undo(self, number: int, who: str) -> Done:
        """Put back what was before an entry, if the field is still as that entry left it."""
        with locked(self._lock):
            self.history.refresh()
            entry = self.history.entry(number)
            if entry is None:
                raise RefusedError("history.jsonl", f"no entry {number}", "the number of an entry", "Look again.")
            if entry.get("outside"):
                return self._undo_outside(entry, who)
            path: Path = tuple(entry["path"])
            row_gone = entry["after"] is None and path and isinstance(path[-1], int)
            if row_gone:
                return self.edit(entry["file"], (*path[:-1], "+"), entry["before"], ABSENT, who, number)
            before = entry["before"]
            return self.edit(entry["file"], path, before, entry["version"], who, number)

    def notice(self) -> list[Entry]:
        """Edits by hand since the last entry, now in the history."""
        words = (f"words/{path.name}" for path in sorted((self.root / "words").glob("*")))
        found: list[Entry | None] = []
        with locked(self._lock):
            for file in (*EDITABLE, *(name for name in words if WORDS.fullmatch(name))):
                with suppress(RefusedError):  # what cannot be read as text cannot be edited here either
                    found.append(self._notice(file))
        return [entry for entry in found if entry]

    def _notice(self, file: str) -> Entry | None:
        """An entry for a file that is not as the last entry left it; the first look only remembers."""
        self.history.refresh()
        text = self._text(file)
        before, sha256 = self._texts.get(file), _sha256(text)
        known = self.history.sha256.get(file) or (None if before is None else _sha256(before))
        self._texts[file] = text
        if known is None or known == sha256:
            return None
        kept = before is not None and _sha256(before) == known and max(len(before), len(text)) <= _MOST_KEPT
        return self.history.add(
            {
                "who": "by hand", "file": file, "path": None, "before": before if kept else None,
                "after": text if kept else None, "sha256": sha256, "undoes": None, "outside": True,
            }
        )  # fmt: skip

    def _undo_outside(self, entry: Entry, who: str) -> Done:
        file, text = entry["file"], self._text(entry["file"])
        if entry.get("before") is None:
            step = "Mend it by hand, or take the file from a copy."
            raise RefusedError(file, "an edit by hand whose former text was not seen", "one that was seen", step)
        if text != entry["after"]:
            raise self._conflict(file, (), entry["before"], text, _sha256(text))
        sha256 = self._replace(file, entry["before"])
        self._texts[file] = entry["before"]
        added = self.history.add(
            {
                "who": who, "file": file, "path": None, "before": text, "after": entry["before"], "sha256": sha256,
                "undoes": entry["n"], "outside": True,
            }
        )  # fmt: skip
        return Done(file, (), None, sha256[:16], int(added["n"]))

    def _conflict(self, file: str, path: Path, yours: Any, theirs: Any, version: str) -> ConflictError:
        import json

        self.history.refresh()
        last = self.history.latest.get((file, json.dumps(list(path)))) or {}
        return ConflictError(file, path, yours, theirs, version, str(last.get("who", "")), str(last.get("when", "")))

    def _text(self, file: str) -> str:
        path = self._inside(file)
        if not path.exists():
            return ""
        if not path.is_file() or path.stat().st_size > TEXT_LIMIT:
            raise RefusedError(file, "no text file of sensible size", "a text file", "Look at the folder.")
        try:
            return path.read_bytes().decode("utf-8")
        except UnicodeDecodeError as error:
            raise RefusedError(file, "a text that is not in UTF-8", "UTF-8", "Save it in UTF-8 first.") from error

    def _replace(self, file: str, text: str) -> str:
        """The file with another text, in one move; its permissions stay."""
        path = self._inside(file)
        path.parent.mkdir(parents=True, exist_ok=True)
        beside = path.with_name(f".{path.name}.part")
        data = text.encode("utf-8")
        descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_NOFOLLOW", 0), 0o666)
        with os.fdopen(descriptor, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if path.exists():
            shutil.copymode(path, beside)
        beside.replace(path)
        return hashlib.sha256(data).hexdigest()

    def _inside(self, file: str) -> File:
        """The path of a file that lies in the folder; links that lead out of it are refused."""
        path = (self.root / file).resolve()
        if not path.is_relative_to(self.root):
            raise RefusedError(file, "a link that leads out of the unit folder", "a file in it", "Copy the file in.")
        return path


def _sha256(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
