"""Files of a unit folder: bounds, encodings, and nothing outside. Own definition in `readers/folder.py`; hashlib is the
independent reference; encodings by the Unicode standard, chapter 23.8 (byte-order mark).
"""

import hashlib
from pathlib import Path

import pytest

from partingline.readers import folder as module
from partingline.readers.folder import TEXT_LIMIT, Folder
from partingline.readers.recordings import read_notes

TEXT = "47 µF ± 20 %\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-be-bom", "cp1252"])
def test_encodings(encoding: str, tmp_path: Path) -> None:
    raw = b"\xfe\xff" + TEXT.encode("utf-16-be") if encoding == "utf-16-be-bom" else TEXT.encode(encoding)
    (tmp_path / "a.txt").write_bytes(raw)
    folder = Folder(tmp_path)
    file = folder.text("a.txt", "text")
    assert file is not None
    assert file.text == TEXT
    assert file.sha256 == hashlib.sha256(raw).hexdigest()
    guessed = [str(problem) for problem in folder.problems]
    assert guessed == [] if encoding != "cp1252" else "read as Windows-1252" in guessed[0]


@pytest.mark.parametrize(
    ("raw", "told"),
    [
        (b"", "empty"),
        (b" \n\t", "empty"),
        (bytes(range(256)), "binary"),
        (b"text\0more", "binary"),
        (b"\xff\xfea", "binary"),
    ],
)
def test_what_is_no_text(raw: bytes, told: str, tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_bytes(raw)
    folder = Folder(tmp_path)
    assert folder.text("a.txt", "a list of parts") is None
    assert told in str(folder.problems[0])
    assert "a list of parts" in str(folder.problems[0])


def test_missing_needed_or_not_and_a_folder_in_its_place(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    assert folder.text("a.txt", "text") is None
    assert folder.problems == []
    assert folder.text("a.txt", "text", needed=True) is None
    assert "no such file" in str(folder.problems[0])
    (tmp_path / "b.txt").mkdir()
    assert folder.text("b.txt", "text") is None
    assert "no file but a folder" in str(folder.problems[1])
    (tmp_path / "photos").write_text("x")
    assert folder.names("photos") == ()
    assert "expected a folder" in str(folder.problems[2])


def test_bounds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with (tmp_path / "a.txt").open("wb") as stream:
        stream.truncate(TEXT_LIMIT + 1)
    folder = Folder(tmp_path)
    assert folder.text("a.txt", "text") is None
    assert "at most 4 MiB" in str(folder.problems[0])
    monkeypatch.setattr(module, "HASH_LIMIT", 1 << 20)
    fresh = Folder(tmp_path)
    assert [fresh.sha256("a.txt"), fresh.sha256("a.txt")] == ["", ""]
    assert len(fresh.problems) == 1
    assert "too large for a hash" in str(fresh.problems[0])


def test_nothing_outside_the_folder_is_read(tmp_path: Path) -> None:
    (tmp_path / "unit").mkdir()
    (tmp_path / "secret.txt").write_text("x")
    (tmp_path / "unit/link.txt").symlink_to(tmp_path / "secret.txt")
    (tmp_path / "unit/loop.txt").symlink_to(tmp_path / "unit/loop.txt")
    folder = Folder(tmp_path / "unit")
    for name in ("../secret.txt", str(tmp_path / "secret.txt"), "link.txt", "loop.txt", "a\0b"):
        assert not folder.has(name)
        assert folder.sha256(name) == ""
        assert folder.text(name, "text") is None
    assert all("leads out of" in str(problem) for problem in folder.problems)
    assert len(folder.problems) == 5


def test_names_are_sorted_and_of_their_kind(tmp_path: Path) -> None:
    for name in ("b.CSV", "a.csv", "c.txt"):
        (tmp_path / name).write_text("x")
    (tmp_path / "d.csv").mkdir()
    assert Folder(tmp_path).names(".", ".csv") == ("a.csv", "b.CSV")
    assert Folder(tmp_path).names("none", ".csv") == ()


def test_what_a_file_names_is_pointed_to(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("x")
    folder = Folder(tmp_path)
    (found,) = folder.pointed("a.txt", folder.evidence("a.txt"))
    assert found.sha256 == hashlib.sha256(b"x").hexdigest()
    assert folder.pointed("b.txt", folder.evidence("a.txt")) == ()
    assert "'b.txt' is not there" in str(folder.problems[0])


def test_samples_are_held_to_the_hash_that_was_recorded(tmp_path: Path) -> None:
    """SigMF specification v1.2: core:sha512 is the hash of the data file."""
    (tmp_path / "captures").mkdir()
    data, meta = tmp_path / "captures/a.sigmf-data", tmp_path / "captures/a.sigmf-meta"
    data.write_bytes(b"samples")
    digest = hashlib.sha512(b"samples").hexdigest()
    meta.write_text(f'{{"global": {{"core:sha512": "{digest}", "partingline:port": "C1"}}}}')
    folder = Folder(tmp_path)
    notes = read_notes(folder, "captures/a.sigmf-meta")
    assert notes is not None
    assert (notes.port, folder.problems) == ("C1", [])
    data.write_bytes(b"samplex")
    read_notes(folder, "captures/a.sigmf-meta")
    assert "captures/a.sigmf-data: the samples are not those" in str(folder.problems[0])


def test_a_link_that_leads_out_is_said_and_left_out(tmp_path: Path) -> None:
    """Own rule (docs/unit-folder.md): nothing outside the unit folder gets into a report."""
    (tmp_path / "unit" / "photos").mkdir(parents=True)
    (tmp_path / "secret.jpg").write_bytes(b"not of this unit")
    (tmp_path / "unit" / "photos" / "a.jpg").symlink_to(tmp_path / "secret.jpg")
    folder = Folder(tmp_path / "unit")
    assert folder.names("photos", ".jpg") == ()
    assert "leads out" in folder.problems[0].found
