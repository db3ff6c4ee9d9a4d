"""Opening with a memory gives what opening afresh gives, and makes anew only what changed."""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from partingline.facts import memory as memories
from partingline.facts.memory import Memory
from partingline.facts.opened import Opened, open_unit
from partingline.model import Interval, Number
from partingline.readers import cc

DEMO = Path(__file__).parents[2] / "demo" / "tern-65"


@pytest.fixture
def unit(tmp_path: Path) -> Path:
    """The demonstration unit, to be edited."""
    return Path(shutil.copytree(DEMO, tmp_path / "unit"))


def _put(file: str, old: str, new: str) -> Callable[[Path], None]:
    def edit(unit: Path) -> None:
        path = unit / file
        text = path.read_text(encoding="utf-8")
        assert old in text, old
        path.write_text(text.replace(old, new, 1), encoding="utf-8")

    return edit


def _gone(file: str) -> Callable[[Path], None]:
    return lambda unit: (unit / file).unlink()


EDITS = [
    _put("unit.toml", "118.4 ± 0.1 g", "119.0 ± 0.2 g"),
    _put("unit.toml", "25.8 ± 0.3 µF", "22.0 ± 0.3 µF"),
    _put("unit.toml", "5.34 ± 0.04", "5.50 ± 0.04"),
    _put("unit.toml", '"20V 3.25A"', '"20V 3A"'),
    _put("unit.toml", "98.5 ± 0.4 kHz", "99.5 ± 0.4 kHz"),
    _put("parts.csv", "C3", "C33"),
    _put("parts.csv", "C33", "C3"),
    _put("logs/logs.toml", '"115 V"', '"120 V"'),
    _put("logs/load-230V-20V.csv", "230", "231"),
    _put("words/captions.vtt", "gram", "ounce"),
    _put("photos/marks.json", "scale: 30 mm", "scale: 31 mm"),
    _gone("logs/no-load-115V.csv"),
    _gone("captures/c1-attach.sigmf-meta"),
    _gone("words/captions.vtt"),
]


def _told(opened: Opened) -> dict[str, Any]:
    facts = {fact.key.id: fact for fact in opened.book.facts()}
    numeric = [f.key for f in facts.values() if isinstance(f.preferred.value, Number | Interval)]
    drawn = {key.id: opened.book.draws(key) for key in numeric}
    return {"facts": facts, "drawn": drawn, "problems": opened.problems, "unit": opened.unit, "marks": opened.marks}


def test_after_every_edit_the_memory_tells_what_a_fresh_look_tells(unit: Path) -> None:
    memory = Memory()
    open_unit(unit, memory=memory)
    for edit in EDITS:
        edit(unit)
        kept, fresh = _told(open_unit(unit, memory=memory)), _told(open_unit(unit))
        drawn, expected = kept.pop("drawn"), fresh.pop("drawn")
        assert kept == fresh
        assert drawn.keys() == expected.keys()
        assert all(np.array_equal(drawn[key], expected[key], equal_nan=True) for key in drawn)


def test_an_edit_reads_no_recording_and_computes_only_what_hangs_on_it(
    unit: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    memory = Memory()
    open_unit(unit, memory=memory).book.facts()
    computed: list[str] = []
    made = memories._Run

    def counted(compute: Any, *rest: Any) -> Any:
        computed.append(getattr(compute, "id", getattr(compute, "__name__", "")))
        return made(compute, *rest)

    def never(*_: Any) -> Any:
        raise AssertionError("read again")

    monkeypatch.setattr(memories, "_Run", counted)
    monkeypatch.setattr(cc, "read_capture", never)
    _put("unit.toml", "118.4 ± 0.1 g", "119.0 ± 0.2 g")(unit)
    opened = open_unit(unit, memory=memory)
    opened.book.facts()
    whole = sum(bool(opened.book.needs(fact.key)) for fact in opened.book.facts())
    assert len(computed) < 0.1 * whole, computed
    assert not [name for name in computed if "loss" in name or "rectifier" in name]


def test_what_a_look_does_not_ask_for_the_next_no_longer_knows() -> None:
    memory, made = Memory(), []

    def make() -> int:
        made.append(1)
        return len(made)

    memory.turn()
    assert memory.recall("key", make) == memory.recall("key", make) == 1
    memory.turn()
    assert memory.recall("key", make) == 1
    memory.turn()
    memory.turn()
    assert memory.recall("key", make) == 2
