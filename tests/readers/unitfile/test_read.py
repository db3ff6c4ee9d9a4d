"""Reading `unit.toml` around its faults. Own definition in docs/unit-folder.md; TOML v1.0.0 for what is broken."""

from pathlib import Path

import pytest

from partingline.readers.folder import Folder
from partingline.readers.unitfile import ReadUnit, read_unit_file
from partingline.readers.unitfile.salvage import MOST_FAULTS, parse_around_faults
from partingline.readers.unitfile.schema import known_keys
from partingline.readers.unitfile.toml_lines import line_index


def read(folder: Path, text: str) -> tuple[ReadUnit, list[str]]:
    (folder / "unit.toml").write_bytes(text.encode())
    opened = Folder(folder)
    unit = read_unit_file(opened)
    return unit, [str(problem) for problem in opened.problems]


@pytest.mark.parametrize(
    ("broken", "line"),
    [
        ("model = 'unclosed", 3),
        ("a line of words", 3),
        ("model == 'x'", 3),
        ("model = 1.2.3", 3),
        ('notes = """never closed', 3),
        ("list = ['a', 'b'", 3),
        ("[unit]\nmodel = 'second'", 3),
        ("[broken\nkey = 1", 3),
        ("maker = 'twice'", 3),
        ("long = " + "9" * 5000, 3),
        ("deep = " + "[" * 3000, 3),
    ],
)
def test_what_stands_around_a_fault_is_read(broken: str, line: int, tmp_path: Path) -> None:
    unit, problems = read(tmp_path, f'[unit]\nmaker = "M"\n{broken}\n\n[[port]]\nid = "C1"\n[[port]]\nid = "A1"\n')
    assert unit.data.unit.maker == "M"
    assert any(f"line {line}" in problem for problem in problems), problems
    if '"""' not in broken:  # an open text takes all that follows
        assert [port.id for port in unit.data.port] == ["C1", "A1"]
        assert f"line {8 + broken.count(chr(10))}" in str(unit.at("port", 1, "id").place)


def test_faults_are_bounded() -> None:
    data, _, broken = parse_around_faults('maker = "M"\n' + "words\n" * 500)
    assert data == {"maker": "M"}
    assert len(broken) == MOST_FAULTS


def test_lines_stay_right_where_tables_are_left_out(tmp_path: Path) -> None:
    text = '[[port]]\nconnector = "x"\n\n[[port]]\nid = "C1"\noffers = 3\n\n'
    text += '[[reading]]\nvalue = 1\n\n[[port]]\nid = "A1"\n'
    unit, problems = read(tmp_path, text)
    lines = [str(unit.at("port", number, "id").place) for number in range(2)]
    assert [port.id for port in unit.data.port] == ["C1", "A1"]
    assert ["line 5" in lines[0], "line 12" in lines[1]] == [True, True]
    assert unit.data.reading == []
    assert any("line 1" in problem and "no 'id'" in problem for problem in problems)
    assert any("line 6" in problem for problem in problems)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ('[unit]\nmakr = "x"', "maker"),
        ("[unt]", "unit"),
        ('[[port]]\nid = "C1"\nofers = []', "offers"),
        ('[unit]\nkind = "wall chargr"', "wall charger"),
        ('[[reading]]\nsubject = "unit"\nquantity = "mass"\nvalue = "1 g"\nroute = "mesured"', "measured"),
        ('[prefer]\n"unit/mass" = { rute = "label", route = "label", reason = "x" }', "route"),
        ('[assume]\n"unit/mass" = { valu = "1 g", value = "1 g", reason = "x" }', "value"),
    ],
)
def test_did_you_mean(text: str, meant: str, tmp_path: Path) -> None:
    _, problems = read(tmp_path, text)
    assert any(f"Did you mean '{meant}'?" in problem for problem in problems), problems


def test_numbers_without_quotes_are_taken_as_written(tmp_path: Path) -> None:
    unit, problems = read(
        tmp_path, '[body]\nmass = 118\n[[reading]]\nsubject = "unit"\nquantity = "mass"\nvalue = 1.5\n'
    )
    assert (unit.data.body.mass, unit.data.reading[0].value, problems) == ("118", "1.5", [])


@pytest.mark.parametrize("name", ["C1/x", "A1+C1", "C1@2", "C=1", "a:b", "a,b", ""])
def test_port_names_that_would_break_an_id(name: str, tmp_path: Path) -> None:
    unit, problems = read(tmp_path, f'[[port]]\nid = "{name}"\n')
    assert unit.data.port == []
    assert any("a name without" in problem for problem in problems)


def test_lines_of_keys_and_of_texts(tmp_path: Path) -> None:
    text = '[label]\ntext = """\nkey = 1\n[[port]]\n"""\nphoto = "x"\n\n[[port]]\nid = "C1"\n["quoted.name"]\na.b = 1\n'
    assert line_index(text) == {
        ("label",): 1,
        ("label", "text"): 2,
        ("label", "photo"): 6,
        ("port", 0): 8,
        ("port", 0, "id"): 9,
        ("quoted.name",): 10,
        ("quoted.name", "a", "b"): 11,
    }
    assert read(tmp_path, text)[0].text_line("label", "text") == 3
    assert read(tmp_path, '[label]\ntext = "INPUT: 230V"\n')[0].text_line("label", "text") == 2
    assert read(tmp_path, "[unit]\n")[0].text_line("label", "text") == 0


def test_known_keys() -> None:
    assert known_keys(("port", 0)) == known_keys(("port",))
    assert known_keys(("prefer", "unit/mass")) == ("route", "reason")
    assert known_keys(("instrument", "LC1")) == ()
    assert known_keys(("nothing",)) == ()
