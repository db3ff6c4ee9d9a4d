"""Every file of a unit, broken in every way that disks, spreadsheets and mail programs know (common practice, no source
for the ways; what must follow is own definition, docs/unit-folder.md): nothing raises, the message names file and next
step, the other files still speak, and the person's bytes stay as they were.
"""

from collections.abc import Callable
from pathlib import Path

import pytest

from partingline.facts.opened import open_unit
from partingline.model import Problem, Route, Statement
from partingline.readers import folder

from .demo_unit import TERN, copy_of_unit, judged, said, tree_hash

META, DATA = "captures/c1-attach.sigmf-meta", "captures/c1-attach.sigmf-data"
CAPTIONS = "words/captions.vtt"
WORDS = ("words/listing.md", CAPTIONS)  # narration.md speaks only where there are no captions: tests/words
TYPED = ("unit.toml", "parts.csv", "photos/marks.json", "logs/logs.toml", *WORDS, META)
LOGS = ("logs/load-115V-20V.csv", "logs/soak-65W.csv")
PHOTOS = ("photos/main-top.jpg", "photos/label.png")
FILES = (*TYPED, *LOGS, *PHOTOS, DATA)

Damage = Callable[[bytes], bytes]


def cut(share: float) -> Damage:
    return lambda raw: raw[: max(1, int(len(raw) * share))]


def recoded(encoding: str) -> Damage:
    return lambda raw: raw.decode("utf-8", "replace").encode(encoding, "replace")


DAMAGE: dict[str, Damage] = {
    "empty": lambda raw: b"",
    "first tenth": cut(0.1),
    "half": cut(0.501),
    "all but the end": cut(0.98),
    "binary": lambda raw: bytes(range(256)) * 40,
    "utf-16": recoded("utf-16"),
    "cp1252": recoded("cp1252"),
}
PLACES = ("missing", "a folder", "enormous")

# Where no message is due. A table, log or list that ends early at a sound place is a shorter one, and its missing facts
# are said by the findings; text in UTF-16 with its mark is read as it is; optional files may be missing.
SOUND_WHEN_CUT = {*WORDS, "parts.csv", *LOGS, "logs/logs.toml", "unit.toml"}
OPTIONAL = {*WORDS, "photos/marks.json", "parts.csv"}
# Whose statements hang on the file as well: ports and instruments of unit.toml, kinds and conditions of logs.toml.
LEANING = {
    "unit.toml": {"words/listing.md", META, DATA, *(f"logs/{path.name}" for path in (TERN / "logs").glob("*.csv"))},
    "logs/logs.toml": {f"logs/{path.name}" for path in (TERN / "logs").glob("*.csv")},
    "photos/marks.json": {f"photos/{path.name}" for path in (TERN / "photos").iterdir()},
    META: {DATA},
    DATA: {META},
}


@pytest.fixture(scope="module")
def sound() -> dict[str, set[tuple[object, ...]]]:
    """What the undamaged unit says, by file."""
    opened, _ = judged(TERN)
    assert opened.problems == ()
    return {path: set(statements) for path, statements in said(opened).items()}


def put(root: Path, name: str, damage: str) -> None:
    """Damage one file of a copy."""
    path = root / name
    raw = path.read_bytes()
    path.unlink()
    if damage == "a folder":
        path.mkdir()
    elif damage == "enormous":
        with path.open("wb") as stream:
            stream.truncate(folder.TEXT_LIMIT + 1 if name in TYPED else folder.HASH_LIMIT + 2)
    elif damage != "missing":
        path.write_bytes(DAMAGE[damage](raw))


def naming(problems: tuple[Problem, ...], name: str) -> list[Problem]:
    """The problems that name a file."""
    return [problem for problem in problems if name in str(problem) or Path(name).name in str(problem)]


def may_be_silent(name: str, damage: str) -> bool:
    if damage == "missing":
        return name in OPTIONAL
    if damage in DAMAGE and damage not in ("empty", "binary", "utf-16", "cp1252"):
        return name in SOUND_WHEN_CUT
    if damage == "utf-16":
        return name in (*TYPED, *LOGS)
    text = DAMAGE["cp1252"]((TERN / name).read_bytes()) if damage == "cp1252" else b"\xff"
    return text.isascii() or (damage == "cp1252" and name in LOGS)


def test_the_files_are_those_of_the_unit() -> None:
    kinds = {Path(name).suffix for name in FILES}
    assert kinds == {path.suffix for path in TERN.rglob("*") if path.is_file()}


def damages(name: str) -> list[str]:
    """All of them for what people type; what makes sense for the rest. Large logs: tests/readers/logs."""
    if name in TYPED:
        return [*DAMAGE, *PLACES]
    some = ["empty", "half", "binary", "missing", "a folder"]
    return [*some, *(["utf-16", "cp1252"] if name in LOGS else ["enormous"])]


CASES = [(name, damage) for name in FILES for damage in damages(name)]


@pytest.mark.parametrize(("name", "damage"), CASES)
def test_one_broken_file(
    name: str,
    damage: str,
    tmp_path: Path,
    sound: dict[str, set[tuple[object, ...]]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(folder, "HASH_LIMIT", 8 << 20)  # of 2 GiB, so that a file beyond it is soon read
    root = copy_of_unit(tmp_path)
    if name != CAPTIONS:
        (root / CAPTIONS).unlink()  # takes half of the time
    put(root, name, damage)
    before = tree_hash(root)
    opened, findings = judged(root)
    assert tree_hash(root) == before
    assert [f.text for f in findings if "could not be applied" in f.text] == []
    about = naming(opened.problems, name)
    assert about or may_be_silent(name, damage), [str(problem) for problem in opened.problems]
    assert all(problem.found and problem.expected and problem.next_step for problem in opened.problems)
    now = said(opened)
    for path, statements in sound.items():
        if path != name and path not in LEANING.get(name, set()):
            assert statements <= now.get(path, set()), path
    assert all(
        now.get(path) for path in LEANING.get(name, set()) & sound.keys() if name == "unit.toml" and "logs" in path
    )


@pytest.mark.parametrize("damage", ["missing", "empty", "half", "binary", "a folder"])
def test_all_files_broken_at_once(damage: str, tmp_path: Path) -> None:
    """All problems in one run, each at its own file."""
    root = copy_of_unit(tmp_path)
    for name in FILES:
        put(root, name, damage)
    opened, _ = judged(root)
    silent = [name for name in FILES if not naming(opened.problems, name) and not may_be_silent(name, damage)]
    # Without unit.toml, marks.json, logs.toml and the metadata nobody names the files that they would tell of.
    unnamed = {DATA}
    if damage in ("missing", "a folder"):
        unnamed |= {META, *LOGS, *PHOTOS}
    if damage == "half":
        unnamed |= {*LOGS}
    assert set(silent) <= unnamed


def test_many_faults_in_one_file_are_told_together(tmp_path: Path) -> None:
    (tmp_path / "unit.toml").write_text(
        '[unit]\nmakr = "Fennmark"\nkind = "wall chargr"\nbroken line\n\n[[port]]\nconnector = "USB-C"\n\n[[port]]\n'
        'id = "C1"\noffers = ["5V 3A", "20 bananas"]\n\n[[reading]]\nsubject = "part:C3"\nquantity = "capacitanc"\n'
        'value = "1 µF"\n\n[[reading]]\nsubject = "unit"\nquantity = "mass"\nvalue = "12 V"\n\n[body]\nmass = [1]\n',
        encoding="utf-8",
    )
    opened = open_unit(tmp_path)
    told = "\n".join(str(problem) for problem in opened.problems)
    places = {"line 2": "Did you mean 'maker'?", "line 3": "Did you mean 'wall charger'?", "line 4": "Mend that place"}
    places |= {"line 6": "no 'id'", "line 11": "bananas", "line 15": "Did you mean 'capacitance'?", "line 21": "12 V"}
    places |= {"line 24": "[1]"}
    for line, words in places.items():
        assert any(line in problem and words in problem for problem in told.split("\n")), (line, words, told)
    assert [port.id for port in opened.unit.ports] == ["C1"]
    assert [offer.voltage for offer in opened.unit.ports[0].offers] == [5.0]


CONTRADICTIONS = [
    ("unit.toml", '\n[[port]]\nid = "C1"\noffers = ["5V 1A"]\n', "port 'C1' is told twice"),
    ("unit.toml", '\n[unit]\nmaker = "Other"\n', "Cannot declare"),
    ("unit.toml", '\n[prefer]\n"part:C3/capacitance" = { route = "spoken", reason = "no" }\n', "'spoken'"),
    ("unit.toml", '\n[prefer]\n"part:C3/mass" = { route = "label", reason = "no" }\n', "is not known by the route"),
    ("unit.toml", '\n[[reading]]\nsubject = "part:C33"\nquantity = "mass"\nvalue = "1 g"\n', "Did you mean 'C3'?"),
    ("unit.toml", '\n[[reading]]\nsubject = "parts:C3"\nquantity = "mass"\nvalue = "1 g"\n', "Did you mean 'part'?"),
    (
        "unit.toml",
        '\n[[reading]]\nsubject = "unit"\nquantity = "volume"\nvalue = "1 cm³"\ninstrument = "CA2"\n',
        "Did you mean 'CA1'?",
    ),
    (
        "unit.toml",
        '\n[[reading]]\nsubject = "unit"\nquantity = "volume"\nvalue = "1 cm³"\nphoto = "photos/no.jpg"\n',
        "'photos/no.jpg' is not there",
    ),
    (
        "unit.toml",
        '\n[[reading]]\nsubject = "unit"\nquantity = "mass"\nvalue = "1 g"\nphoto = "/etc/hostname"\n',
        "is not there",
    ),
    ("parts.csv", "F1;input;main;top;fuse;fuse;T2A;;;2 A;;1;;\n", "F1 stands in row 2 too"),
    ("parts.csv", "C90;input;main;top;capacitr;;;;;1 µF;;1;;\n", "Did you mean 'capacitor'?"),
    ("parts.csv", "C91,C92;input;main;top;capacitor;;;;;1 µF;;3;;\n", "quantity '3'"),
    ("logs/logs.toml", '\n[[log]]\nfile = "load-115V-20V.csv"\nkind = "load sweep"\n', "load-115V-20V.csv"),
    (
        "logs/logs.toml",
        '\n[[log]]\nfile = "../../../../etc/hostname"\nkind = "thermal"\n',
        "leads out of logs/",
    ),
]


@pytest.mark.parametrize(("name", "text", "told"), CONTRADICTIONS)
def test_what_contradicts_is_said_and_what_was_there_stays(
    name: str, text: str, told: str, tmp_path: Path, sound: dict[str, set[tuple[object, ...]]]
) -> None:
    root = copy_of_unit(tmp_path)
    with (root / name).open("a", encoding="utf-8") as stream:
        stream.write(text)
    opened, _ = judged(root)
    assert any(told in str(problem) for problem in naming(opened.problems, name)), [str(p) for p in opened.problems]
    now = said(opened)
    keys = {path: {statement[0] for statement in statements} for path, statements in now.items()}
    for path, statements in sound.items():
        assert {statement[0] for statement in statements} <= keys.get(path, set()), path


def test_two_files_that_disagree_are_both_kept(tmp_path: Path) -> None:
    """The listing's 118 g against a reading of 150 g; neither is dropped."""
    root = copy_of_unit(tmp_path)
    listing = root / "words/listing.md"
    listing.write_text(listing.read_text("utf-8").replace("118 g", "150 g"), encoding="utf-8")
    opened, _ = judged(root)
    fact = next(fact for fact in opened.book.facts() if fact.key.id == "unit/mass")
    routes: list[tuple[Statement, str]] = [
        (s, standing) for s, standing in zip(fact.statements, fact.standings, strict=True)
    ]
    seen = [
        (str(statement.route), str(standing)) for statement, standing in routes if statement.route is not Route.SPOKEN
    ]
    assert seen[0][0] == "measured"
    assert seen[1:] == [("listing", "contradicted")]


def test_no_folder_and_a_file_in_its_place(tmp_path: Path) -> None:
    with pytest.raises(NotADirectoryError, match="no such folder; `partingline init"):
        open_unit(tmp_path / "none")
    (tmp_path / "file").write_text("x")
    with pytest.raises(NotADirectoryError, match="is a file; expected a unit's folder"):
        open_unit(tmp_path / "file")
