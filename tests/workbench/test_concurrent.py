"""Sixteen writers on one folder: no edit is lost, the folder can be read at every moment, the history is whole."""

import json
import random
import shutil
import threading
import tomllib
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from partingline.readers.folder import Folder
from partingline.readers.parts import read_parts
from partingline.workbench.editing import ConflictError, Writer, form_of
from tests.workbench.conftest import DEMO

FIELDS: tuple[tuple[str, tuple[str | int, ...]], ...] = (
    ("unit.toml", ("unit", "notes")),
    ("unit.toml", ("body", "material")),
    ("unit.toml", ("port", 0, "note")),
    *(("parts.csv", (ref, "note")) for ref in ("C1", "C3", "C4", "C11", "Q1", "T1")),
    ("words/narration.md", ()),
    ("words/listing.md", ()),
    ("words/notes.md", ()),
)
"""Ten thousand words among so many fields keep each cell within the writer's bound of 10,000 characters."""


def _add(writer: Writer, file: str, path: tuple[str | int, ...], word: str) -> int:
    """Add a word to what is there, as someone does who is shown both after a conflict; the number of conflicts."""
    value, version = form_of(file).look(writer.read(file), path)
    for conflicts in range(10_000):
        try:
            writer.edit(file, path, f"{value or ''} {word}".strip(), version, word.partition(".")[0])
        except ConflictError as conflict:
            value, version = conflict.theirs, conflict.version
        else:
            return conflicts
    raise AssertionError("never came to write")


def _work(root: Path, number: int, edits: int, faults: list[BaseException]) -> None:
    writer = Writer(root, root.parent / "lock")
    chance = random.Random(number)
    try:
        for count in range(edits):
            _add(writer, *chance.choice(FIELDS), f"w{number}.{count}")
    except BaseException as error:
        faults.append(error)
        raise


def _watch(root: Path, ended: threading.Event, faults: list[BaseException]) -> None:
    """Read as any other program does, all the time."""
    parts = len(read_parts(Folder(root)))
    try:
        while not ended.is_set():
            tomllib.loads((root / "unit.toml").read_text(encoding="utf-8"))
            folder = Folder(root)
            assert len(read_parts(folder)) == parts
            assert not folder.problems
            ended.wait(0.002)
    except BaseException as error:
        faults.append(error)
        raise


def _entries(root: Path) -> Iterator[dict[str, Any]]:
    for line in (root / "history.jsonl").read_text(encoding="utf-8").splitlines():
        yield json.loads(line)


def _prove(root: Path, writers: int, edits: int) -> None:
    faults: list[BaseException] = []
    ended = threading.Event()
    watching = threading.Thread(target=_watch, args=(root, ended, faults))
    threads = [threading.Thread(target=_work, args=(root, n, edits, faults)) for n in range(writers)]
    watching.start()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    ended.set()
    watching.join()
    assert not faults
    fresh = Writer(root, root.parent / "lock")
    words: list[str] = []
    for file, path in FIELDS:
        value, _ = form_of(file).look(fresh.read(file), path)
        words += [word for word in str(value or "").split() if word.startswith("w")]
    assert sorted(words) == sorted(f"w{n}.{c}" for n in range(writers) for c in range(edits))
    entries = list(_entries(root))
    assert [entry["n"] for entry in entries] == list(range(1, len(entries) + 1))
    assert len(entries) == writers * edits
    chains: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for entry in entries:
        chains[f"{entry['file']} {entry['path']}"].append(entry)
    for chain in chains.values():
        assert all(b["before"] == a["after"] for a, b in pairwise(chain))


def _fresh(tmp_path: Path) -> Path:
    shutil.copytree(DEMO, tmp_path / "unit")
    form = form_of("unit.toml")
    writer = Writer(tmp_path / "unit", tmp_path / "lock")
    for file, path in FIELDS:
        value, version = form_of(file).look(writer.read(file), path)
        if value:
            writer.edit(file, path, "" if file == "parts.csv" else None, version, "start")
    (tmp_path / "unit" / "history.jsonl").unlink(missing_ok=True)
    assert form.look(writer.read("unit.toml"), ("unit", "notes"))[0] is None
    return tmp_path / "unit"


def test_no_edit_is_lost_between_eight_writers(tmp_path: Path) -> None:
    _prove(_fresh(tmp_path), writers=8, edits=12)


@pytest.mark.prove
@pytest.mark.timeout(3600)
def test_no_edit_is_lost_between_sixteen_writers_and_ten_thousand_edits(tmp_path: Path) -> None:
    _prove(_fresh(tmp_path), writers=16, edits=625)
