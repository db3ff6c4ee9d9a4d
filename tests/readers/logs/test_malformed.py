"""Every broken log gives a message that names row and column, and what is whole in it is still read."""

from pathlib import Path

import pytest

from partingline.model import Cell, Problem, Rows
from partingline.readers.logs import LogEntry, read_log
from partingline.readers.logs import text as text_module
from tests.readers.logs.malformed import BROKEN, Broken, table, with_row


def places(problem: Problem) -> list[tuple[int, str]]:
    """The row and the column at which a problem was met; nothing where it names only one of the two."""
    place = problem.evidence.place
    if isinstance(place, Cell):
        return [(place.row, place.column)]
    return [(place.first, place.column)] if isinstance(place, Rows) else []


@pytest.mark.parametrize("broken", BROKEN, ids=lambda broken: broken.what)
def test_message_names_row_and_column(broken: Broken, tmp_path: Path) -> None:
    (tmp_path / "bad.csv").write_bytes(broken.data)
    log = read_log(tmp_path / "bad.csv")
    told = [
        problem
        for problem in log.problems
        if broken.words in problem.found and (broken.row, broken.column) in places(problem)
    ]
    assert told, [str(problem) for problem in log.problems]
    text = str(told[0])
    assert "logs/bad.csv" in text
    assert f"row {broken.row}" in text or f"rows {broken.row} to" in text
    assert broken.column in text
    assert told[0].loses is broken.loses
    assert told[0].expected
    assert told[0].next_step
    assert told[0].evidence.sha256


def test_collection_is_large_enough() -> None:
    """Files that differ, each with a row and a column to name."""
    assert len({broken.data for broken in BROKEN if broken.row >= 1 and broken.column}) == len(BROKEN) >= 60


def test_good_table_is_read_without_a_problem(tmp_path: Path) -> None:
    (tmp_path / "good.csv").write_bytes(table())
    log = read_log(tmp_path / "good.csv")
    assert log.problems == ()
    assert log.rows.tolist() == [2, 3, 4, 5, 6, 7, 8]


def test_all_faults_of_a_file_are_told_at_once(tmp_path: Path) -> None:
    rows = with_row("2,OL,abc,-----").decode() + "9,1\n7,72.2,20.05,3.25\n"
    (tmp_path / "bad.csv").write_text(rows)
    log = read_log(tmp_path / "bad.csv")
    found = " | ".join(problem.found for problem in log.problems)
    for words in ("over range", "'abc' is no number", "no value", "rows without 4 cells"):
        assert words in found
    assert log.rows.tolist() == [2, 3, 4, 5, 6, 7, 8, 10]


def test_many_faults_of_one_kind_are_one_message(tmp_path: Path) -> None:
    lines = ["Time (s),Pin (W)", *(f"{n},{'OL' if n % 3 else 1}" for n in range(3000))]
    (tmp_path / "bad.csv").write_text("\n".join(lines))
    log = read_log(tmp_path / "bad.csv")
    assert len(log.problems) == 1
    assert "in 2000 cells" in log.problems[0].found
    assert "and 992 more places" in log.problems[0].found


def test_missing_folder_and_oversized(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "no such file" in read_log(tmp_path / "none.csv").problems[0].found
    assert "not a regular file" in read_log(tmp_path).problems[0].found
    (tmp_path / "big.csv").write_bytes(table())
    monkeypatch.setattr(text_module, "MAX_BYTES", 10)
    problem = read_log(tmp_path / "big.csv").problems[0]
    assert "a file of" in problem.found
    assert "at most" in problem.expected


def test_pinned_header_that_is_not_there_is_suggested(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_bytes(table())
    log = read_log(tmp_path / "a.csv", LogEntry(file="a.csv", columns={"input_power": "Pinn (W)"}))
    problem = next(p for p in log.problems if "Pinn" in p.found)
    assert "Did you mean 'Pin (W)'?" in problem.next_step


def test_no_bytes_can_raise(tmp_path: Path) -> None:
    """Truncation at every byte of a file of each encoding, and each byte replaced: never an exception."""
    whole = with_row("2,OL,\u00b520.04,3.25").decode()
    for encoding in ("utf-8", "utf-16", "cp1252"):
        data = whole.encode(encoding)
        for end in range(0, len(data), 7):
            (tmp_path / "cut.csv").write_bytes(data[:end])
            read_log(tmp_path / "cut.csv")
            (tmp_path / "cut.csv").write_bytes(data[:end] + b"\xff\x00" + data[end + 2 :])
            read_log(tmp_path / "cut.csv")
