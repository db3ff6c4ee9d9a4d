"""The pages without script: what is typed or dropped in their forms, what they then show, and what the folder holds."""

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.workbench.conftest import DEMO, Served, serving


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """An empty bench, served."""
    yield from serving(tmp_path_factory.mktemp("bench"))


def _post(desk: Served, address: str, **fields: str):  # type: ignore[no-untyped-def]
    return desk.page.post(address, data={"token": desk.token, **fields})


def _toml(desk: Served, file: str) -> dict[str, object]:
    return tomllib.loads((desk.bench / "plover-65" / file).read_text(encoding="utf-8"))


def test_a_unit_is_made_with_its_files_each_in_its_folder(desk: Served) -> None:
    names = ("photos/label.png", "logs/load-230V-20V.csv", "words/captions.vtt")
    files = [("files", (Path(name).name, (DEMO / name).read_bytes())) for name in names]
    address = f"/new?token={desk.token}"
    made = desk.page.post(address, data={"id": "plover-65"}, files=files)
    assert made.status_code == 303
    assert made.headers["location"] == "/unit/plover-65/outside"
    for name in names:
        assert (desk.bench / "plover-65" / name).read_bytes() == (DEMO / name).read_bytes()
    again = desk.page.post(address, data={"id": "plover-65"}, files=files)
    assert again.status_code == 422
    assert "is there already" in again.text


def test_a_new_unit_needs_the_pages_token(desk: Served) -> None:
    assert desk.page.post("/new", data={"id": "stray"}).status_code == 403
    assert not (desk.bench / "stray").exists()


def test_a_port_is_added_and_held_against_its_rating(desk: Served) -> None:
    told = {"id": "C1", "connector": "USB-C", "rated_power": "65 W", "offers": "5V 3A\n9V 3A\n15V 2.4A\n20V 3.25A"}
    assert _post(desk, "/unit/plover-65/port", **told).status_code == 303
    (port,) = _toml(desk, "unit.toml")["port"]  # type: ignore[misc]
    assert port == {**told, "offers": told["offers"].split("\n")}
    _post(desk, "/unit/plover-65/edit", file="unit.toml", path='["label", "text"]', base="absent", value="C1: 65W Max")
    page = desk.page.get("/unit/plover-65/ports").text
    row = page[page.index("15\u202fV</th>") :].partition("</tr>")[
        0
    ]  # 15 V at 3 A: USB PD R3.x 10.2, for 45 W and above
    assert "2.4\u202fA" in row
    assert "3\u202fA" in row
    assert "falls short" in row


def test_a_log_is_confirmed_with_its_columns(desk: Served) -> None:
    page = desk.page.get("/unit/plover-65/measurements").text
    assert "to be confirmed" in page
    told = {"file": "load-230V-20V.csv", "kind": "load sweep", "port": "C1", "offer": "20 V", "mains": "230 V"}
    columns = {"quantity-1": "input_voltage", "header-1": "Vin_V", "channel-1": "", "meter-1": "PA1"}
    answer = _post(desk, "/unit/plover-65/log", **told, **columns)
    assert answer.headers["location"] == "/unit/plover-65/measurements?log=load-230V-20V.csv"
    (log,) = _toml(desk, "logs/logs.toml")["log"]  # type: ignore[misc]
    assert log == {**told, "columns": {"input_voltage": "Vin_V"}, "instruments": {"input_voltage": "PA1"}}
    page = desk.page.get(answer.headers["location"]).text
    assert "average efficiency" in page
    base = page.partition('name="base_columns" value="')[2].partition('"')[0]
    again = {"quantity-1": "input_voltage", "header-1": "Vin_V", "quantity-3": "input_power", "header-3": "Pin_W"}
    meters = page.partition('name="base_instruments" value="')[2].partition('"')[0]
    bases = {"base_columns": base, "base_instruments": meters}
    assert _post(desk, "/unit/plover-65/log", file=told["file"], **bases, **again).status_code == 303
    (log,) = _toml(desk, "logs/logs.toml")["log"]  # type: ignore[misc]
    assert log == {**told, "columns": {"input_voltage": "Vin_V", "input_power": "Pin_W"}}


def test_columns_that_someone_else_changed_meanwhile_are_a_conflict(desk: Served) -> None:
    told = {"file": "load-230V-20V.csv", "base_columns": "0" * 16, "quantity-1": "input_current", "header-1": "Vin_V"}
    answer = _post(desk, "/unit/plover-65/log", **told)
    assert answer.status_code == 409
    assert "Nothing is lost" in answer.text


def test_a_text_is_checked_without_being_kept_and_handed_out_corrected(desk: Served) -> None:
    text = "WEBVTT\n\n00:01.000 --> 00:03.000\nC1 offers fifteen volts at three point four amps\n"
    shown = _post(desk, "/unit/plover-65/words", name="talk.vtt", text=text)
    assert shown.status_code == 200
    assert "three point four amps" in shown.text
    assert "0:01.0" in shown.text
    answer = _post(desk, "/unit/plover-65/corrected", name="talk.vtt", text=text)
    assert answer.headers["content-disposition"].endswith("talk-corrected.vtt")
    assert "two point four amps" in answer.text
    assert "00:00:01.000 --> 00:00:03.000" in answer.text
    assert not (desk.bench / "plover-65" / "words" / "talk.vtt").exists()
    assert _post(desk, "/unit/plover-65/words", name="talk.exe", text=text).status_code == 415


def test_what_was_typed_stands_on_the_page_of_a_refusal(desk: Served) -> None:
    answer = _post(desk, "/unit/plover-65/port", id="", offers="5V 3A <b>")
    assert answer.status_code == 422
    assert "5V 3A &lt;b&gt;" in answer.text


def test_a_page_says_what_is_missing_and_what_it_would_settle(desk: Served) -> None:
    page = desk.page.get("/unit/plover-65/parts").text
    assert "paste them from a spreadsheet" in page
    assert "settles ratings, margins, losses" in page
    assert "Drop a recording of the CC line" in desk.page.get("/unit/plover-65/ports").text


def test_findings_are_narrowed_by_the_address(served: Served) -> None:
    page = served.page.get("/unit/tern-65/findings", params={"verdict": "falls short", "group": "spacing"}).text
    seen = [one.partition(">")[0] for one in page.split("<article ")[1:]]
    assert [' data-group="spacing"' in one for one in seen if not one.endswith(" hidden")] == [True]


def test_an_operating_point_is_a_piece_of_the_page(served: Served) -> None:
    piece = served.page.get("/unit/tern-65/point", params={"mains": "115", "load": "50", "offer": "20"}).text
    assert "32.5\u202fW" in piece  # 20 V × 3.25 A × 50 %
    assert "measured at 115\u202fV, 50\u202f% load" in piece
    assert "<html" not in piece
    assert served.page.get("/unit/tern-65/point", params={"mains": "x"}).status_code == 400


def test_what_is_known_of_a_part_comes_with_its_routes(served: Served) -> None:
    piece = served.page.get("/unit/tern-65/about", params={"of": "part:C3"}).text
    assert "contradicted" in piece
    assert "27\u202fmF" in piece
    assert "Nothing is known" in served.page.get("/unit/tern-65/about", params={"of": "part:<script>"}).text


def test_pictures_in_drawings_have_addresses_of_their_own(served: Served) -> None:
    page = served.page.get("/unit/tern-65/opening").text
    assert "data:image" not in page
    name = page.partition('href="/drawn/')[2].partition('"')[0]
    assert served.page.get(f"/drawn/{name}").headers["content-type"].startswith("image/")
    assert served.page.get("/drawn/nothing").status_code == 404
