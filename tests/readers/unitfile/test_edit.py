"""Editing `unit.toml` from a program: one value changes, every comment, blank and order stays (own definition in
`readers/unitfile/edit.py`; tomllib is the independent reader, TOML v1.0.0).
"""

import difflib
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partingline.readers.unitfile import set_value
from partingline.readers.unitfile.edit import write_value

from ...demo_unit import TERN

SKELETON = """# My unit, typed by hand.
[unit]
maker   = "Old"   # as on the case
model = 'Tern'

  [body]
  mass = "1 g"     # indented on purpose

# the only port
[[port]]
id = "C1" # left
offers = [
  "5V 3A",  # first
  "9V 2A",
]

[assume]
"stage:input/lowest_mains" = { value = "90 V", reason = "why" } # inline
"""
PATHS = [
    ("unit", "maker"),
    ("unit", "title"),
    ("body", "mass"),
    ("port", 0, "id"),
    ("port", 0, "cable"),
    ("port", 0, "offers", 1),
    ("port", 1, "id"),
    ("instrument", "LC1", "capacitance"),
    ("assume", "stage:input/lowest_mains", "value"),
]
TEXTS = st.text(st.characters(codec="utf-8", exclude_characters="\0", exclude_categories=("Cc", "Cs")), max_size=20)


def lookup(data: Any, path: tuple[str | int, ...]) -> Any:
    for piece in path:
        data = data[piece]
    return data


@settings(max_examples=60)
@given(st.lists(st.tuples(st.sampled_from(PATHS), TEXTS), min_size=1, max_size=5))
def test_edits_are_read_back_and_nothing_else_moves(edits: list[tuple[tuple[str | int, ...], str]]) -> None:
    text, expected = SKELETON, {}
    for path, value in edits:
        text = set_value(text, path, value)
        expected[path] = value
    data = tomllib.loads(text)
    assert {path: lookup(data, path) for path in expected} == expected
    kept = [line for line in SKELETON.split("\n") if "#" in line]
    for line in kept:
        comment = line[line.index("#") :]
        assert comment in text
    before = tomllib.loads(SKELETON)
    untouched = [path for path in PATHS if path not in expected and _has(before, path)]
    assert all(lookup(data, path) == lookup(before, path) for path in untouched)


def _has(data: Any, path: tuple[str | int, ...]) -> bool:
    try:
        lookup(data, path)
    except (KeyError, IndexError):
        return False
    return True


@pytest.mark.parametrize("path", [("unit", "maker"), ("body", "mass"), ("port", 0, "id"), ("port", 1, "connector")])
def test_one_line_of_the_demo_changes(path: tuple[str | int, ...]) -> None:
    text = (TERN / "unit.toml").read_text("utf-8")
    changed = set_value(text, path, "new").split("\n")
    lines = [line for line in difflib.unified_diff(text.split("\n"), changed, n=0, lineterm="") if line[:1] in "+-"]
    assert [line[:1] for line in lines if not line.startswith(("---", "+++"))] == ["-", "+"]


def test_comment_behind_the_value_stays() -> None:
    assert 'maker   = "New"   # as on the case' in set_value(SKELETON, ("unit", "maker"), "New")


def test_windows_line_ends_and_byte_order_mark_stay() -> None:
    text = "\ufeff" + SKELETON.replace("\n", "\r\n")
    changed = set_value(text, ("unit", "maker"), "New")
    assert changed == text.replace('"Old"', '"New"')


@pytest.mark.parametrize(
    "path", [("unit", "maker", "x"), ("port", 3, "id"), ("unit", 0, "x"), ("port", 0, "offers", 7), ("port", "x", "y")]
)
def test_a_path_that_leads_nowhere(path: tuple[str | int, ...]) -> None:
    with pytest.raises(KeyError):
        set_value(SKELETON, path, "x")


def test_a_file_is_replaced_whole_or_not_at_all(tmp_path: Path) -> None:
    file = tmp_path / "unit.toml"
    file.write_bytes(SKELETON.encode())
    file.chmod(0o640)
    write_value(file, ("unit", "model"), "Tern 65")
    assert tomllib.loads(file.read_text("utf-8"))["unit"]["model"] == "Tern 65"
    assert file.stat().st_mode & 0o777 == 0o640
    for broken in (b"[unit\n", b'[unit]\nmaker = "\xb5"\n'):
        file.write_bytes(broken)
        with pytest.raises(ValueError, match=r"."):
            write_value(file, ("unit", "model"), "x")
        assert file.read_bytes() == broken
    assert [path.name for path in tmp_path.iterdir()] == ["unit.toml"]
