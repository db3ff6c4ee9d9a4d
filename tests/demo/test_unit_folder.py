"""The typed files: readable by general readers, consistent with the truth within the instruments' statements."""

import csv
import json
import tomllib
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from model import truth
from model.bench import EU, US, Log, all_logs
from model.instruments import METERS
from model.physics import idle_power, operate


@pytest.fixture(scope="module")
def logs() -> list[Log]:
    return all_logs()


def _rows(log: Log) -> list[dict[str, float]]:
    """Numbers of a log by the quantity that `logs.toml` pins, from whichever dialect."""
    german = "Zeit [s]" in log.columns.values()
    lines = log.text.splitlines()
    head = next(n for n, line in enumerate(lines) if log.columns["time"] in line)
    table = csv.DictReader(lines[head:], delimiter=";" if german else ",")
    rows = []
    for row in table:
        cells = {key: row[name].replace(",", ".") for key, name in log.columns.items() if key != "time"}
        if all(cell.lstrip("-").replace(".", "", 1).isdigit() for cell in cells.values()):
            rows.append({key: float(cell) for key, cell in cells.items()})
    return rows


def test_logs_toml_names_every_log(unit_folder: Path) -> None:
    told = tomllib.loads((unit_folder / "logs/logs.toml").read_text("utf-8"))["log"]
    assert {log["file"] for log in told} == {path.name for path in (unit_folder / "logs").glob("*.csv")}
    for log in told:
        text = (unit_folder / "logs" / log["file"]).read_text("utf-8")
        assert all(heading in text for heading in log["columns"].values())


@pytest.mark.parametrize(("number", "mains", "offer"), [(0, US, 20.0), (1, EU, 20.0), (2, US, 5.0), (3, EU, 5.0)])
def test_sweeps_read_the_truth(logs: list[Log], number: int, mains: Any, offer: float) -> None:
    """Last five minutes at full current: each reading within its instrument's accuracy statement."""
    rows = _rows(logs[number])
    full = 3.25 if offer == 20.0 else 2.0
    settled = [row for row in rows if abs(row["output_current"] - full) < 0.01][-100:]
    point = operate(mains, offer, full)
    expected = {"input_power": point.input_power, "port_voltage": point.port_voltage, "output_current": full}
    meters = {meter.id: meter for meter in METERS}
    for quantity, value in expected.items():
        mean = sum(row[quantity] for row in settled) / len(settled)
        limit = meters[logs[number].instruments[quantity]].half_width(quantity, value)
        warm = 0.004 if quantity == "input_power" else 0.0  # not quite settled after half an hour
        assert abs(mean - value) < limit + warm * value, quantity


@pytest.mark.parametrize(("number", "mains"), [(4, US), (5, EU)])
def test_no_load_reads_the_truth(logs: list[Log], number: int, mains: Any) -> None:
    rows = _rows(logs[number])
    mean = sum(row["input_power"] for row in rows) / len(rows)
    assert abs(mean - idle_power(mains)) < 4.2e-3


@pytest.mark.parametrize(("number", "offer"), [(6, 20.0), (7, 15.0)])
def test_trips_read_the_truth(logs: list[Log], number: int, offer: float) -> None:
    held = max(row["output_current"] for row in _rows(logs[number]) if row["port_voltage"] > 0.9 * offer)
    trip = next(item.trip for item in truth.C1_OFFERS if item.voltage == offer)
    assert trip - 0.015 < held < trip + 0.005


def test_parts_cover_the_roles(unit_folder: Path) -> None:
    """About thirty parts; a byte-order mark, semicolons, decimal commas and a blank row, as spreadsheets write."""
    raw = (unit_folder / "parts.csv").read_bytes()
    assert raw.startswith(b"\xef\xbb\xbf")
    rows = list(csv.DictReader(raw.decode("utf-8-sig").splitlines(), delimiter=";"))
    parts = [row for row in rows if row["ref"]]
    assert 28 <= len(parts) <= 36
    assert len(rows) == len(parts) + 1
    needed = (
        "fuse inrush_limiter x_capacitor x_discharge common_mode_choke bridge bulk_capacitor differential_choke "
        "primary_controller primary_switch clamp transformer feedback_isolator y_capacitor rectifier output_capacitor "
        "output_switch output_sense protocol_controller buck_switch buck_inductor port"
    )
    assert set(needed.split()) <= {row["role"] for row in parts}
    assert any("3,15 A" in row["ratings"] for row in parts)


def test_marks_lie_on_the_photos(unit_folder: Path) -> None:
    marks = json.loads((unit_folder / "photos/marks.json").read_text("utf-8"))
    refs = {ref for part in _part_refs(unit_folder) for ref in part.split(",")}
    for mark in marks:
        subject = mark["body"][0]["value"]
        with Image.open(unit_folder / "photos" / mark["target"]["source"]) as picture:
            size = picture.size
        value = mark["target"]["selector"]["value"]
        if value.startswith("xywh"):
            x, y, w, h = (int(n) for n in value.partition("pixel:")[2].split(","))
            assert min(x, y, size[0] - x - w, size[1] - y - h) >= 0, subject
        assert not subject.startswith("part:") or subject.removeprefix("part:") in refs


def _part_refs(unit_folder: Path) -> list[str]:
    text = (unit_folder / "parts.csv").read_text("utf-8-sig")
    return [row["ref"] for row in csv.DictReader(text.splitlines(), delimiter=";") if row["ref"]]


def test_it_says_that_it_is_invented(unit_folder: Path, unit_file: dict[str, Any]) -> None:
    assert unit_file["unit"]["invented"] is True
    assert "invented" in (unit_folder / "words/listing.md").read_text("utf-8").lower()
    assert "invented" in (unit_folder.parent / "README.md").read_text("utf-8").lower()
