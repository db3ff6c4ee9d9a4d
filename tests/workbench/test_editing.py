"""One field changes and nothing else; what would not be read is refused; undo puts back; edits by hand are noticed."""

import csv
import shutil
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partingline.workbench.editing import ABSENT, ConflictError, RefusedError, Writer, form_of
from partingline.workbench.editing.parts_form import PartsForm
from partingline.workbench.editing.toml_form import TomlForm
from tests.workbench.conftest import DEMO

UNIT = (DEMO / "unit.toml").read_text(encoding="utf-8")
PARTS = (DEMO / "parts.csv").read_text(encoding="utf-8")
TEXTS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=60)


@pytest.fixture
def writer(tmp_path: Path) -> Writer:
    shutil.copytree(DEMO, tmp_path / "unit")
    return Writer(tmp_path / "unit", tmp_path / "lock")


@given(TEXTS)
def test_any_text_is_read_back_by_a_toml_parser_as_it_was_typed(text: str) -> None:
    changed, path = TomlForm("unit.toml").put(UNIT, ("label", "text"), text)
    data, before = tomllib.loads(changed), tomllib.loads(UNIT)
    assert data["label"]["text"] == text
    data["label"].pop("text"), before["label"].pop("text")
    assert data == before
    assert path == ("label", "text")


@given(TEXTS)
def test_any_cell_is_read_back_by_the_csv_module_and_other_rows_stay_byte_for_byte(text: str) -> None:
    form = PartsForm()
    changed, _ = form.put(PARTS, ("C3", "note"), text)
    value, _ = form.look(changed, ("C3", "note"))
    if "\n" not in text and "\r" not in text and not text.startswith(("'", "=")) and text.isprintable():
        assert value == text.strip()
        rows = list(csv.DictReader(changed.removeprefix("\ufeff").splitlines(), delimiter=";"))
        assert next(row["note"] for row in rows if row["ref"] == "C3") == text.strip()
    kept = [line for line in PARTS.splitlines(keepends=True) if not line.startswith("C3;")]
    assert all(line in changed for line in kept)


def test_a_field_is_set_and_undone_to_the_byte(writer: Writer) -> None:
    _, version = form_of("unit.toml").look(UNIT, ("body", "mass"))
    done = writer.edit("unit.toml", ("body", "mass"), "119 g", version, "Ada")
    assert writer.read("unit.toml") != UNIT
    assert done.entry is not None
    writer.undo(done.entry, "Bo")
    assert writer.read("unit.toml") == UNIT


def test_the_later_editor_is_shown_both(writer: Writer) -> None:
    _, version = form_of("parts.csv").look(PARTS, ("C3", "note"))
    writer.edit("parts.csv", ("C3", "note"), "first", version, "Ada")
    with pytest.raises(ConflictError) as caught:
        writer.edit("parts.csv", ("C3", "note"), "second", version, "Bo")
    assert (caught.value.theirs, caught.value.yours, caught.value.who) == ("first", "second", "Ada")


def test_a_row_that_moved_up_is_not_taken_for_the_one_that_was_there(writer: Writer) -> None:
    form = TomlForm("unit.toml")
    rows = {path: version for path, version, _ in form.rows(UNIT)}
    same = [n for n in range(24) if form.look(UNIT, ("reading", n, "route"))[0] is None]
    first = next(n for n in same if n + 1 in same)
    absent = form.look(UNIT, ("reading", first, "note2"))[1]
    writer.edit("unit.toml", ("reading", first), None, rows["reading", first], "Ada")
    with pytest.raises(ConflictError):
        writer.edit("unit.toml", ("reading", first, "note"), "for the row that went", absent, "Bo")


def test_a_row_taken_away_comes_back_with_undo(writer: Writer) -> None:
    form = TomlForm("unit.toml")
    rows = {path: version for path, version, _ in form.rows(UNIT)}
    done = writer.edit("unit.toml", ("reading", 2), None, rows["reading", 2], "Ada")
    before, after = tomllib.loads(UNIT)["reading"], tomllib.loads(writer.read("unit.toml"))["reading"]
    assert len(after) == len(before) - 1
    assert done.entry is not None
    writer.undo(done.entry, "Ada")
    again = tomllib.loads(writer.read("unit.toml"))["reading"]
    assert sorted(map(str, again)) == sorted(map(str, before))


@pytest.mark.parametrize(
    ("file", "path", "value", "found"),
    [
        ("unit.toml", ("unit", "kind"), "dok", "'dok'"),
        ("unit.toml", ("unit", "colour"), "blue", "unknown key 'colour'"),
        ("unit.toml", ("unit",), "text", ""),
        ("unit.toml", ("port", 99, "cable"), "5 A", ""),
        ("parts.csv", ("C3", "quantity"), "many", "quantity 'many'"),
        ("parts.csv", ("C3", "colour"), "blue", "column 'colour'"),
        ("photos/marks.json", ("#new",), {"id": "#new", "target": "nowhere"}, "an annotation without a target"),
        ("../unit.toml", ("unit", "kind"), "dock", ""),
        ("history.jsonl", (), "x", ""),
        ("words/../unit.toml", (), "x", ""),
    ],
)
def test_what_would_not_be_read_is_refused_with_the_next_step(
    writer: Writer, file: str, path: tuple[str | int, ...], value: object, found: str
) -> None:
    before = {p: p.read_bytes() for p in writer.root.rglob("*") if p.is_file()}
    try:
        version = form_of(file).look(writer.read(file), path)[1]
    except RefusedError:
        version = ABSENT
    with pytest.raises(RefusedError) as caught:
        writer.edit(file, path, value, version, "Ada")
    assert found in caught.value.found
    assert caught.value.next_step
    assert {p: p.read_bytes() for p in writer.root.rglob("*") if p.is_file()} == before


def test_edits_by_hand_are_kept_in_the_history_and_can_be_undone(writer: Writer) -> None:
    writer.notice()
    (writer.root / "unit.toml").write_text(UNIT.replace("118.4", "118.5"), encoding="utf-8")
    (entry,) = writer.notice()
    assert entry["who"] == "by hand"
    assert writer.notice() == []
    writer.undo(entry["n"], "Ada")
    assert writer.read("unit.toml") == UNIT


def test_an_edit_by_hand_is_not_written_over(writer: Writer) -> None:
    _, version = form_of("unit.toml").look(UNIT, ("body", "mass"))
    (writer.root / "unit.toml").write_text(UNIT.replace("118.4 ± 0.1 g", "200 g"), encoding="utf-8")
    with pytest.raises(ConflictError) as caught:
        writer.edit("unit.toml", ("body", "mass"), "119 g", version, "Ada")
    assert caught.value.theirs == "200 g"


def test_a_link_that_leads_out_is_not_written_through(writer: Writer, tmp_path: Path) -> None:
    outside = tmp_path / "outside.md"
    outside.write_text("mine", encoding="utf-8")
    (writer.root / "words" / "narration.md").unlink(missing_ok=True)
    (writer.root / "words" / "narration.md").symlink_to(outside)
    with pytest.raises(RefusedError):
        writer.edit("words/narration.md", (), "theirs", ABSENT, "Ada")
    assert outside.read_text(encoding="utf-8") == "mine"


def test_crlf_semicolons_and_a_mark_of_byte_order_stay() -> None:
    text = "\ufeffref;kind;value\r\nC1;capacitor;0,47 µF\r\nR1;resistor;1k"
    changed, _ = PartsForm().put(text, ("C2",), {"kind": "capacitor", "value": "1;2"})
    assert changed == text + '\r\nC2;capacitor;"1;2"\r\n'


@pytest.mark.parametrize(
    "value", ['a "b" \\ c # d', "tab\tbell\x07 del\x7f", "µ ± 😀", "", "'''", "[x]\\u0041", " edges "]
)
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_string_set_on_its_line_leaves_every_other_character(value: str, end: str) -> None:
    """TOML 1.0.0, basic strings; read back by the standard library."""
    lines = [
        "# top",
        "[unit]",
        'maker = "A # b"  # who',
        "",
        "[[port]]",
        'id = "C1"\t# name',
        '"odd key" = "x"',
        "n = 1",
    ]
    text = end.join([*lines, ""])
    form = form_of("unit.toml")
    for path, line in ((("unit", "maker"), 2), (("port", 0, "id"), 5), (("port", 0, "odd key"), 6)):
        changed, found = form.put(text, path, value)
        assert found == path
        assert form.look(changed, path)[0] == value
        now, before = changed.split(end), text.split(end)
        assert now[:line] + now[line + 1 :] == before[:line] + before[line + 1 :]
        assert now[line].partition("=")[0] == before[line].partition("=")[0]
        assert "#" not in before[line] or now[line].endswith(before[line].rpartition('"')[2])
