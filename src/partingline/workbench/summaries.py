"""The bench in one list: what each unit is and how it stands, kept, and judged anew where it changed."""

import json
import threading
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

from partingline.facts.opened import open_unit
from partingline.findings import Case
from partingline.findings import run as run_rules
from partingline.findings.next_steps import next_steps
from partingline.model import Verdict
from partingline.publish.compose.pictures import ENDINGS
from partingline.workbench.bench import Bench
from partingline.workbench.live import lead_of

_LOOKED_AT = (
    "unit.toml", "parts.csv", "photos", "photos/marks.json", "logs", "logs/logs.toml", "captures", "words/listing.md",
)  # fmt: skip
_EVERY_S = 3.0
"""How often is looked for changes while someone looks at the bench."""
_LATER_S = 30.0
"""How often otherwise: a look at two thousand units is sixteen thousand questions to the file system."""
_KEEP_EACH = 50
_PAUSE_S = 0.005


class Summaries:
    """What is known of every unit of a bench. A thread looks for changes until `stop`."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._file = bench.own / "cache" / "summaries.json"
        self._known: dict[str, dict[str, Any]] = self._load()
        self._lock = threading.Lock()
        self._ended = threading.Event()
        self._wake = threading.Event()
        self._asked = 0.0

    def start(self) -> None:
        """Begin to look."""
        threading.Thread(target=self._run, name="partingline-summaries", daemon=True).start()

    def stop(self) -> None:
        """End the thread after the unit that it is at."""
        self._ended.set()
        self._wake.set()

    def all(self) -> list[dict[str, Any]]:
        """A record of each unit; one that is not judged yet has no verdict."""
        with self._lock:
            known = dict(self._known)
        self._asked = time.monotonic()
        self._wake.set()
        return [{**(known[id_]["told"] if id_ in known else _unjudged(id_))} for id_ in self._bench.ids()]

    def look(self) -> None:
        """Judge every unit that changed since it was judged last, and forget those that are gone."""
        ids = self._bench.ids()
        judged = 0
        for id_ in ids:
            if self._ended.is_set():
                break
            stamp = _stamp(self._bench.root / id_)
            if self._known.get(id_, {}).get("stamp") == stamp:
                continue
            told = _summary(id_, self._bench.root / id_)
            with self._lock:
                self._known[id_] = {"stamp": stamp, "told": told}
            judged += 1
            if judged % _KEEP_EACH == 0:
                self._keep()
            self._ended.wait(_PAUSE_S)  # whoever waits for a page goes first
        gone = self._known.keys() - set(ids)
        with self._lock:
            for id_ in gone:
                del self._known[id_]
        if gone or judged % _KEEP_EACH:
            self._keep()

    def _keep(self) -> None:
        self._file.parent.mkdir(parents=True, exist_ok=True)
        beside = self._file.with_suffix(".part")
        beside.write_text(json.dumps(self._known, ensure_ascii=False), encoding="utf-8")
        beside.replace(self._file)

    def _run(self) -> None:
        while not self._ended.is_set():
            with suppress(OSError):  # a folder that goes away while it is looked at; the next look sees it gone
                self.look()
            self._ended.wait(_EVERY_S)
            self._wake.clear()
            if time.monotonic() - self._asked > _LATER_S:
                self._wake.wait(_LATER_S)

    def _load(self) -> dict[str, dict[str, Any]]:
        try:
            told = json.loads(self._file.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        return told if isinstance(told, dict) else {}


def _stamp(root: Path) -> list[list[int]]:
    found = []
    for name in _LOOKED_AT:
        try:
            told = (root / name).stat()
            found.append([told.st_mtime_ns, told.st_size])
        except OSError:
            found.append([0, 0])
    return found


def _summary(id_: str, root: Path) -> dict[str, Any]:
    try:
        opened = open_unit(root)
        findings = run_rules(Case(opened.unit, opened.book, captures=opened.captures))
    except Exception as error:  # one broken folder must not hide the others
        return {**_unjudged(id_), "error": f"{type(error).__name__}: {error}"[:300]}
    counts = {verdict.value: sum(f.verdict is verdict for f in findings) for verdict in Verdict}
    photos = opened.folder.names("photos", *ENDINGS)
    steps = next_steps(findings, opened.book)
    worst = next((verdict.value for verdict in Verdict if counts[verdict.value]), "not enough data")
    return {
        "id": id_, "name": opened.unit.name, "title": opened.unit.title or opened.unit.kind, "verdict": worst,
        "counts": counts, "lead": lead_of(counts), "missing": [step.what for step in steps[:3]],
        "photo": photos[0].partition("/")[2] if photos else None, "error": None,
    }  # fmt: skip


def _unjudged(id_: str) -> dict[str, Any]:
    return {
        "id": id_, "name": id_, "title": "", "verdict": None, "counts": {}, "lead": "not judged yet", "missing": [],
        "photo": None, "error": None,
    }  # fmt: skip
