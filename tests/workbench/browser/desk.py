"""One invented unit in memory: what the stand-in server reads and writes, and the streams that follow it."""

import asyncio
import hashlib
import json
from typing import Any

from starlette.responses import JSONResponse

COLUMNS = ("ref", "kind", "role", "marking", "value")
NASTY = '<img src=x onerror="document.title=1">'


def version(value: Any) -> str:
    """The version of a value: a short hash, as the interface has it."""
    return hashlib.sha256(json.dumps(value, sort_keys=True).encode()).hexdigest()[:16]


class Desk:
    """The unit in memory, and the streams that follow it."""

    def __init__(self) -> None:
        self.fields: dict[str, Any] = {
            '["body","mass"]': "118.4 ± 0.1 g",
            '["label","text"]': "OUTPUT: 5V 3A\n" + NASTY,
        }
        self.parts = [
            {"ref": "C3", "kind": "capacitor", "role": "bulk_capacitor", "marking": "27µF 400V", "value": "27 µF"},
            {"ref": "F1", "kind": "fuse", "role": "fuse", "marking": "T2.5AL250V", "value": NASTY},
        ]
        self.marks: dict[str, dict[str, Any]] = {}
        self.state, self.entry = 1, 0
        self.history: dict[int, tuple[str, list[Any], Any, Any]] = {}
        self.jobs: dict[str, dict[str, Any]] = {}
        self.uploads: dict[str, bytes] = {}
        self.streams: set[asyncio.Queue[tuple[str, Any]]] = set()
        self.asked: list[str] = []

    def tell(self, event: str, data: Any) -> None:
        """Send an event to every page."""
        for stream in self.streams:
            stream.put_nowait((event, data))

    def changed(self, file: str, path: list[Any], before: Any, after: Any, who: str = "someone here") -> dict[str, Any]:
        """Count the change, tell everyone, and give the answer to an edit."""
        self.state += 1
        self.entry += 1
        self.history[self.entry] = (file, path, before, after)
        common = {
            "file": file,
            "path": path,
            "value": after,
            "version": version(after),
            "state": self.state,
            "entry": self.entry,
        }
        self.tell("change", {**common, "who": who, "outside": False})
        return common

    def set_field(self, path: list[Any], value: Any, who: str = "someone here") -> dict[str, Any]:
        """Write one field of unit.toml, whoever does."""
        key = json.dumps(path, separators=(",", ":"))
        before, self.fields[key] = self.fields.get(key), value
        return self.changed("unit.toml", path, before, value, who)


def conflict(file: str, path: list[Any], yours: Any, theirs: Any) -> JSONResponse:
    """The 409 that shows both edits."""
    told = {
        "file": file,
        "path": path,
        "yours": yours,
        "theirs": theirs,
        "version": version(theirs) if theirs is not None else "absent",
    }
    return JSONResponse({"conflict": {**told, "who": "Ada", "when": "2026-10-02T14:02:11Z"}}, 409)
