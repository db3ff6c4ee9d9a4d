"""What is computed without being saved: a moved operating point, a moved outline, a dropped script, a log's columns."""

import json
import time
from typing import Any

import pytest

from partingline.facts.opened import open_unit
from partingline.facts.operating_point import operating_point
from partingline.model import Key
from partingline.workbench.editing import ABSENT
from tests.workbench.conftest import DEMO, Served

API = "/api/unit/tern-65"


def test_the_operating_point_at_a_measured_load_is_the_fact_there() -> None:
    """The measured ports sag by a percent of the offer; the losses follow that."""
    opened = open_unit(DEMO)
    for mains, load in ((115.0, 1.0), (115.0, 0.5), (230.0, 1.0), (230.0, 0.75)):
        key = Key.of("port:C1", "computed_loss", mains=mains, offer=20.0, load=load)
        fact = opened.book.fact(key)
        assert fact is not None
        point = operating_point(opened.unit, opened.book, mains=mains, offer=20.0, load=load)
        assert point.total[0] == pytest.approx(fact.value, rel=0.02)
        assert point.total[1] == pytest.approx(fact.u, rel=0.25)
        assert sum(value for value, _ in point.losses.values()) == pytest.approx(point.total[0], rel=1e-9)
        assert point.efficiency[0] == pytest.approx(point.output_power / (point.output_power + point.total[0]))
        assert {(one.mains, one.load) for one in point.measured} >= {(115.0, 1.0), (230.0, 0.75)}


def test_the_operating_point_moves_with_the_hand(served: Served) -> None:
    """50 ms an answer; processor time, since others may use the machine."""
    bounds = served.page.get(f"{API}/converter/bounds").json()
    assert {"voltage": 20.0, "current": 3.25} in bounds["offers"]
    low, high = bounds["mains"]
    served.page.get(f"{API}/converter/point?mains=230&offer=20&load=1")
    spent, answers = time.process_time(), []
    for step in range(10):
        mains = low + (high - low) * step / 9
        answers.append(served.page.get(f"{API}/converter/point?mains={mains}&offer=20&load={0.1 + 0.1 * step}"))
    assert (time.process_time() - spent) / 10 < 0.05
    told = [answer.json() for answer in answers]
    peaks = [next(one["value"] for one in each["currents"] if one["name"] == "peak current") for each in told]
    assert peaks == sorted(peaks)
    assert all(each["losses"] and each["total"]["u"] > 0 for each in told)
    waves = [each["waveform"] for each in told]
    assert all(wave["svg"].startswith("<svg") and "style=" not in wave["svg"] and wave["alt"] for wave in waves)
    assert len({wave["svg"] for wave in waves}) == len(waves)


@pytest.mark.parametrize("asked", ["offer=7", "mains=x", "load=nan"])
def test_an_operating_point_that_is_none_says_why(served: Served, asked: str) -> None:
    answer = served.page.get(f"{API}/converter/point?{asked}")
    assert answer.status_code in (400, 422)
    assert answer.json()["error"]["expected"]


def _outlines(served: Served) -> list[dict[str, Any]]:
    """The outlines of the demonstration's barrier as the board would send them."""
    import re

    found = []
    for mark in served.page.get(f"{API}/marks").json()["marks"]:
        said = {body["purpose"]: body["value"] for body in mark["annotation"]["body"]}
        selector = mark["annotation"]["target"]["selector"]["value"]
        polygon = re.search(r'<polygon[^>]* points="([^"]+)"', selector)
        if said.get("identifying") == "barrier:main" and polygon:
            numbers = [float(one) for one in re.findall(r"-?[\d.]+", polygon[1])]
            points = [list(pair) for pair in zip(numbers[::2], numbers[1::2], strict=True)]
            found.append({"text": said.get("describing", ""), "points": points})
    return found


def test_the_creepage_path_follows_an_outline_that_moves(served: Served) -> None:
    outlines = _outlines(served)
    asked = {"photo": "main-bottom.jpg", "barrier": "barrier:main", "outlines": outlines}
    told = served.page.post(f"{API}/spacing/draft", json=asked).json()
    book = open_unit(served.unit).book
    for quantity in ("creepage", "clearance"):
        fact = book.fact(Key.of("barrier:main", quantity))
        assert fact is not None
        assert told[quantity]["length"] == pytest.approx(fact.value, rel=0.02)
        assert told[quantity]["required"]["length"] > 0
        assert len(told[quantity]["points"]) >= 2
    slot = next(one for one in outlines if "slot" in one["text"])
    moved = [{**one, "points": [[x, y - 5000] for x, y in one["points"]]} if one is slot else one for one in outlines]
    spent = time.process_time()
    without = served.page.post(f"{API}/spacing/draft", json={**asked, "outlines": moved}).json()
    assert time.process_time() - spent < 0.1
    assert without["creepage"]["length"] < told["creepage"]["length"]
    assert served.page.get(f"{API}/marks").json()["marks"]


@pytest.mark.parametrize(
    "outlines", [[{"text": "primary", "points": [[0, 0]]}], [{"points": []}], ["x"], [{"text": "p", "points": [["x"]]}]]
)
def test_outlines_that_are_none_are_refused(served: Served, outlines: list[Any]) -> None:
    asked = {"photo": "main-bottom.jpg", "barrier": "barrier:main", "outlines": outlines}
    assert served.page.post(f"{API}/spacing/draft", json=asked).status_code == 400
    other = {**asked, "photo": "body.jpg", "outlines": []}
    assert served.page.post(f"{API}/spacing/draft", json=other).status_code == 422
    assert served.page.post(f"{API}/spacing/draft", json={**asked, "photo": "../unit.toml"}).status_code == 422


def test_a_dropped_script_is_checked_without_being_kept(served: Served) -> None:
    before = sorted(str(path) for path in served.unit.rglob("*"))
    text = "WEBVTT\n\n00:01.000 --> 00:04.000\nThe charger weighs 190 grams.\n"
    told = served.page.post(f"{API}/words/check", json={"name": "talk.vtt", "text": text}).json()
    (figure,) = told["figures"]
    assert (figure["says"], figure["time"]) == ("differs", 1.0)
    assert figure["fact"]["id"] == "unit/mass"
    assert "00:00:01.000 --> 00:00:04.000" in told["corrected"]
    assert "190" not in told["corrected"]
    assert served.page.post(f"{API}/words/check", json={"name": "talk.exe", "text": text}).status_code == 415
    assert sorted(str(path) for path in served.unit.rglob("*")) == before


def test_the_columns_of_a_log_are_shown_and_confirmed(served: Served) -> None:
    told = served.page.get(f"{API}/logs/load-115V-20V.csv/read").json()
    assert {"input_power", "output_current"} <= {column["quantity"] for column in told["columns"]}
    assert len(told["segments"]) >= 4
    assert told["entry"]["columns"]["input_power"] == "P1 [W]"
    pinned = {**told["entry"]["columns"], "time": "Zeit [s]"}
    edit = {"path": [*told["path"], "columns"], "value": pinned, "base": told["columns_version"], "who": "Ada"}
    assert served.page.patch(f"{API}/logs.toml", json=edit).status_code == 200
    data = b"Time;Vin (V);Iin (A);Pin (W)\n0;230;0.1;5\n1;230;0.1;5\n2;230;0.1;5\n"
    assert served.page.put(f"{API}/uploads/logs/fresh.csv", content=data).status_code == 201
    fresh = served.page.get(f"{API}/logs/fresh.csv/read").json()
    assert fresh["path"] == ["log", "+"]
    found = {column["quantity"]: column["name"] for column in fresh["columns"]}
    row = {"file": "fresh.csv", "kind": "load sweep", "columns": {"input_power": found["input_power"]}}
    added = {"path": fresh["path"], "value": row, "base": ABSENT, "who": "Ada"}
    assert served.page.patch(f"{API}/logs.toml", json=added).status_code == 200
    assert served.page.get(f"{API}/logs/fresh.csv/read").json()["entry"]["kind"] == "load sweep"
    assert served.page.get(f"{API}/logs/..%2funit.toml/read").status_code == 404


def test_a_port_is_added_and_taken_away(served: Served) -> None:
    row = {"id": "C2", "connector": "USB-C", "offers": ["5V 3A"]}
    answer = served.page.patch(f"{API}/unit.toml", json={"path": ["port", "+"], "value": row, "base": ABSENT})
    assert answer.status_code == 200, answer.text
    assert 'id = "C2"' in (served.unit / "unit.toml").read_text(encoding="utf-8")
    assert [port.id for port in open_unit(served.unit).unit.ports][-1] == "C2"
    rows = served.page.get(f"{API}/unit.toml").json()["rows"]
    told = next(one for one in rows if one["path"] == answer.json()["path"])
    gone = {"path": told["path"], "value": None, "base": told["version"]}
    assert served.page.patch(f"{API}/unit.toml", json=gone).status_code == 200
    assert json.dumps("C2") not in (served.unit / "unit.toml").read_text(encoding="utf-8")
