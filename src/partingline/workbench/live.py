"""A unit as it is now: read and judged anew when its folder changes, with everyone who looks at it told."""

import threading
import tomllib
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from partingline.facts.memory import Memory, stamps
from partingline.facts.one_log import OneLog, open_log
from partingline.facts.opened import Opened, open_unit
from partingline.facts.show import show_fact
from partingline.facts.statements.photos import scale_of
from partingline.findings import Case
from partingline.findings import run as run_rules
from partingline.model import Finding, Verdict
from partingline.readers.logs import LogEntry
from partingline.workbench.editing import Done, Writer
from partingline.workbench.editing import Path as FieldPath
from partingline.workbench.editing.history import Entry
from partingline.workbench.events import Hub
from partingline.workbench.jobs import Jobs

if TYPE_CHECKING:
    from partingline.readers.photos.scale import Scale

_WATCHED = ("", "photos", "captures", "logs", "words")
Stamp = tuple[tuple[str, int, int, int], ...]


@dataclass(frozen=True)
class Shown:
    """One state of the folder: what was read, the findings, and a hash of each fact to tell which changed."""

    state: int
    stamp: Stamp
    opened: Opened
    findings: tuple[Finding, ...]
    facts: dict[str, str]

    @property
    def counts(self) -> dict[str, int]:
        """Findings by verdict."""
        return {verdict.value: sum(f.verdict is verdict for f in self.findings) for verdict in Verdict}

    @property
    def lead(self) -> str:
        """`four things fall short, 12 are open`."""
        return lead_of(self.counts)


class LiveUnit:
    """One unit. All methods may be called from any thread."""

    def __init__(self, id_: str, root: Path, own: Path) -> None:
        self.id = id_
        self.root = root
        self.cache = own / "cache" / id_
        self.hub = Hub()
        self.jobs = Jobs(self.hub)
        self.writer = Writer(root, own / "locks" / f"{sha256(id_.encode()).hexdigest()[:24]}.lock")
        self.reading = threading.RLock()
        self._memory = Memory()
        self._shown: Shown | None = None
        self._changes = 1
        self._judging = ThreadPoolExecutor(1, thread_name_prefix="partingline-judge")
        self._asked = threading.Semaphore(2)
        self.writer.notice()

    @property
    def state(self) -> int:
        """How often the folder has changed, as far as was seen."""
        return self._changes

    def current(self) -> Shown:
        """The unit as its folder is now."""
        with self.reading:
            stamp = _stamp(self.root)
            if self._shown is None or self._shown.stamp != stamp:
                entries = self.writer.notice() if self._shown else []
                if self._shown is not None and not entries and self._shown.state == self._changes:
                    self._changes += 1
                for entry in entries:
                    self._changes += 1
                    self._tell_outside(entry)
                self._shown = self._read(stamp)
            return self._shown

    def follow(self) -> None:
        """Take in what changed in the folder, if anything did: some thirty questions to the file system."""
        shown = self._shown
        if shown is None or shown.stamp != _stamp(self.root):
            self.current()

    def scale_of(self, photo: str) -> "Scale | None":
        """The scale that the saved marks of a photo tell; hold `reading` meanwhile."""
        opened = self.current().opened
        return scale_of(opened.folder, photo, opened.marks, self._memory)

    def one_log(self, name: str) -> OneLog:
        """A log of the folder by itself, with its budgets; read anew where something changed that it hangs on."""
        path = self.root / "logs" / name
        with self.reading:
            told = tomllib.loads(self.writer.read("unit.toml")).get("instrument")
            hangs_on = (name, repr(told), stamps(sorted(path.parent.iterdir())))
            one: OneLog = self._memory.recall(("one log", *hangs_on), partial(open_log, path, LogEntry(file=name)))
            return one

    def edit(self, file: str, path: FieldPath, value: Any, base: str, who: str) -> Done:
        """One edit, told to everyone; it is judged meanwhile, and `findings` are told when that is done."""
        return self._told(self.writer.edit(file, path, value, base, who), who)

    def undo(self, number: int, who: str) -> Done:
        """Undo one entry; as `edit`."""
        return self._told(self.writer.undo(number, who), who)

    def _told(self, done: Done, who: str) -> Done:
        if done.entry is not None:
            self._changes += 1
            change = {
                "state": self.state, "entry": done.entry, "who": who, "file": done.file, "path": list(done.path),
                "value": done.value, "version": done.version, "outside": False,
            }  # fmt: skip
            self.hub.tell("change", change)
            self.judge()
        return done

    def judge(self) -> None:
        """Judge in the background, unless that is asked for already."""
        if self._asked.acquire(blocking=False):
            self._judging.submit(self._judge)

    def close(self) -> None:
        """End what runs, and every stream."""
        self.jobs.close()
        self.hub.close()
        self._judging.shutdown(wait=False, cancel_futures=True)

    def _judge(self) -> None:
        self._asked.release()
        if self.hub.people:
            self.current()

    def _tell_outside(self, entry: Entry) -> None:
        change = {
            "state": self.state, "entry": entry["n"], "who": entry["who"], "file": entry["file"], "path": None,
            "value": None, "version": None, "outside": True,
        }  # fmt: skip
        self.hub.tell("change", change)

    def _read(self, stamp: Stamp) -> Shown:
        before = self._shown
        opened = open_unit(self.root, memory=self._memory)
        findings = run_rules(Case(opened.unit, opened.book, captures=opened.captures))
        facts = {fact.key.id: f"{show_fact(fact)} {fact.standing}" for fact in opened.book.facts()}
        shown = Shown(self.state, stamp, opened, findings, facts)
        if before is not None:
            changed = [id_ for id_ in {*facts, *before.facts} if facts.get(id_) != before.facts.get(id_)]
            told = {
                "state": shown.state, "lead": shown.lead, "counts": shown.counts, "changed": sorted(changed),
                "problems": len(opened.problems),
            }  # fmt: skip
            self.hub.tell("findings", told)
        return shown


_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def lead_of(counts: dict[str, int]) -> str:
    """The verdict in a few words."""
    short = counts["falls short"]
    open_ = counts["undecided"] + counts["not enough data"]
    number = _WORDS[short] if short < len(_WORDS) else str(short)
    things = f"{number} thing{'' if short == 1 else 's'} fall{'s' if short == 1 else ''} short"
    return f"{things if short else 'nothing falls short'}, {open_} {'is' if open_ == 1 else 'are'} open"


def _stamp(root: Path) -> Stamp:
    """Name, time, size and node of every file that is read: an edit makes a new node."""
    found: list[tuple[str, int, int, int]] = []
    for name in _WATCHED:
        folder = root / name
        try:
            inside = sorted(folder.iterdir()) if folder.is_dir() else []
        except OSError:
            continue
        for path in inside:
            if path.name.startswith(".") or path.name == "history.jsonl" or not path.is_file():
                continue
            try:
                told = path.stat()
            except OSError:
                continue
            found.append((f"{name}/{path.name}", told.st_mtime_ns, told.st_size, told.st_ino))
    return tuple(found)
