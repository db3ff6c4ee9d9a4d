"""Spreadsheets and recordings as logs. openpyxl, a library that this project does not read with, writes the sheets."""

import io
import json
import zipfile
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from partingline.model import Samples
from partingline.readers.logs import LogEntry, read_log
from partingline.readers.logs import sheets as sheets_module

openpyxl = pytest.importorskip("openpyxl")
HEAD = ["Time", "Pin (W)", "Vout (V)", "Iout (A)"]


def book(path: Path, *, sheets: int = 1, odd: object = None) -> None:
    """A workbook with a preamble, a header and 40 rows a second apart; further sheets hold three rows."""
    made = openpyxl.Workbook()
    sheet = made.active
    sheet.title = "Sweep"
    sheet.append(["Logger 7", "bench"])
    sheet.append([])
    sheet.append(HEAD)
    for n in range(40):
        power = odd if n == 10 and odd is not None else 72.2 + n / 1000
        sheet.append([datetime(2026, 10, 2, 10) + timedelta(seconds=n), power, 20.05, 3.25])
    for k in range(1, sheets):
        made.create_sheet(f"Other {k}").append(["a", "b"])
    made.save(path)


def test_a_spreadsheet_is_read_with_its_own_rows(tmp_path: Path) -> None:
    book(tmp_path / "a.xlsx")
    log = read_log(tmp_path / "a.xlsx")
    assert log.problems == ()
    assert log.rows[[0, -1]].tolist() == [4, 43]
    assert log.start is not None
    assert log.start.isoformat() == "2026-10-02T10:00:00+00:00"
    np.testing.assert_allclose(log.time_s, np.arange(40.0), atol=1e-5)
    np.testing.assert_allclose(log.series["input_power", ""], 72.2 + np.arange(40) / 1000)


@pytest.mark.parametrize(("odd", "words"), [("OL", "over range"), ("abc", "'abc' is no number")])
def test_a_fault_in_a_cell_names_row_and_column(odd: str, words: str, tmp_path: Path) -> None:
    book(tmp_path / "a.xlsx", odd=odd)
    told = [str(problem) for problem in read_log(tmp_path / "a.xlsx").problems]
    assert len(told) == 1
    assert words in told[0]
    assert "row 14, Pin (W)" in told[0]


def test_the_fullest_sheet_or_the_named_one(tmp_path: Path) -> None:
    book(tmp_path / "a.xlsx", sheets=3)
    log = read_log(tmp_path / "a.xlsx")
    assert [p.loses for p in log.problems] == [False]
    assert "'Other 1'" in log.problems[0].found
    assert len(log.time_s) == 40
    assert read_log(tmp_path / "a.xlsx", LogEntry(file="a.xlsx", sheet="Sweep")).problems == ()
    wrong = read_log(tmp_path / "a.xlsx", LogEntry(file="a.xlsx", sheet="Swep"))
    assert "no sheet 'Swep'" in wrong.problems[0].found
    assert "'Sweep'" in wrong.problems[0].expected


def test_damaged_and_oversized_sheets(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    book(tmp_path / "a.xlsx")
    whole = (tmp_path / "a.xlsx").read_bytes()
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(whole)) as archive, zipfile.ZipFile(out, "w") as broken:
        for name in archive.namelist():
            broken.writestr(name, b"<" if name.startswith("xl/workbook") else archive.read(name))
    (tmp_path / "b.xlsx").write_bytes(out.getvalue())
    assert "a damaged spreadsheet" in read_log(tmp_path / "b.xlsx").problems[0].found
    for end in range(0, len(whole), 500):
        (tmp_path / "c.xlsx").write_bytes(whole[:end])
        assert read_log(tmp_path / "c.xlsx").problems
    monkeypatch.setattr(sheets_module, "MAX_UNPACKED", 10)
    assert "unpacked" in read_log(tmp_path / "a.xlsx").problems[0].found


def recording(folder: Path, **more: object) -> Path:
    """Two channels of 16-bit samples at 1 MHz: 20 V falling by 1 mV a sample, and 3 A."""
    counts = np.column_stack([20000 - np.arange(500), np.full(500, 3000)]).astype("<i2")
    (folder / "a.sigmf-data").write_bytes(counts.tobytes())
    told = {"core:datatype": "ri16_le", "core:num_channels": 2, "core:sample_rate": 1e6, "core:version": "1.2.0",
            "partingline:channels": ["vbus", "current"], "partingline:scale_v": [1e-3, 1e-3]}  # fmt: skip
    (folder / "a.sigmf-meta").write_text(json.dumps({"global": told | more, "captures": [], "annotations": []}))
    return folder / "a.sigmf-meta"


def test_a_recording_gives_volts_and_amperes(tmp_path: Path) -> None:
    path = recording(tmp_path)
    entry = LogEntry(file="a.sigmf-meta", port="C1", columns={"output_current": "current"})
    log = read_log(path, entry)
    assert log.problems == ()
    np.testing.assert_allclose(log.series["port_voltage", ""], 20 - np.arange(500) / 1000)
    np.testing.assert_allclose(log.series["output_current", ""], 3.0)
    np.testing.assert_allclose(log.time_s, np.arange(500) * 1e-6)
    evidence = log.evidence(100, 199, "port_voltage")
    assert evidence.path == "logs/a.sigmf-data"
    assert isinstance(evidence.place, Samples)
    assert (evidence.place.first, evidence.place.last, evidence.place.t_s) == (100, 199, pytest.approx(1e-4))


def test_a_recording_that_cannot_be_read_says_why(tmp_path: Path) -> None:
    path = recording(tmp_path, **{"core:datatype": "cf32_le", "core:sample_rate": -1})
    told = " ".join(str(problem) for problem in read_log(path).problems)
    assert "core:datatype" in told
    assert "core:sample_rate" in told
    path.with_suffix(".sigmf-data").unlink()
    assert "no such file" in str(read_log(path).problems[0])
