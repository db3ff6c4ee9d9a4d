"""The interface as `docs/workbench.md` describes it, over real requests on loopback."""

import io
import json
import re
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from partingline.facts.opened import open_unit
from partingline.workbench import tiles
from partingline.workbench.events import Hub
from partingline.workbench.jobs import Jobs
from partingline.workbench.pages.contents import PAGES
from tests.workbench.conftest import Served

U, API = "/unit/tern-65", "/api/unit/tern-65"


def _field(served: Served, *path: str | int) -> dict[str, Any]:
    fields = served.page.get(f"{API}/unit.toml").json()["fields"]
    return next((one for one in fields if one["path"] == list(path)), {"value": None, "version": "absent"})


class _Ids(HTMLParser):
    """Ids, and the ids that labels and ARIA attributes name."""

    def __init__(self) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.named: set[str] = set()
        self.links: set[str] = set()
        self.depth: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        if told.get("id"):
            self.ids.append(str(told["id"]))
        self.named |= {str(told[name]) for name in ("for", "aria-labelledby") if told.get(name)}
        if tag == "a" and told.get("href"):
            self.links.add(str(told["href"]))


@pytest.mark.parametrize("page", [*PAGES, "history"])
def test_every_page_is_whole_and_its_names_lead_somewhere(served: Served, page: str) -> None:
    answer = served.page.get(f"{U}/{page}")
    assert answer.status_code == 200
    read = _Ids()
    read.feed(answer.text)
    assert len(read.ids) == len(set(read.ids)), [one for one in read.ids if read.ids.count(one) > 1]
    assert read.named <= set(read.ids)
    assert f'href="{U}/{page}" aria-current="page"' in answer.text
    assert len(answer.content) < 1_000_000
    for link in sorted(read.links)[:12]:
        if link.startswith("/"):
            assert served.page.get(link).status_code == 200, link


def test_every_number_of_the_page_leads_to_its_fact(served: Served) -> None:
    keys = set(re.findall(r'data-fact="([^"]+)"', served.page.get(f"{U}/outside").text))
    assert len(keys) > 10
    for key in sorted(keys)[:10]:
        record = served.page.get(f"{API}/facts/{key.replace('&#39;', chr(39))}").json()
        assert record["id"] == key
        assert record["statements"]
        for statement in record["statements"]:
            for place in statement["evidence"]:
                assert served.page.get(place["href"]).status_code == 200


def test_a_fact_tells_what_the_book_tells(served: Served) -> None:
    book = open_unit(served.unit).book
    for fact in book.facts()[::40]:
        record = served.page.get(f"{API}/facts/{fact.key.id}").json()
        assert [one["route"] for one in record["statements"]] == [s.route.value for s in fact.statements]


def test_an_edit_is_judged_at_once_and_kept_with_its_editor(served: Served) -> None:
    field = _field(served, "body", "mass")
    told = {"path": ["body", "mass"], "value": "140 ± 0.1 g", "base": field["version"], "who": "Ada"}
    answer = served.page.patch(f"{API}/unit.toml", json=told)
    assert answer.status_code == 200
    assert "140" in served.page.get(f"{API}/facts/unit/mass").json()["shown"]
    conflict = served.page.patch(f"{API}/unit.toml", json={**told, "value": "1 g", "who": "Bo"})
    assert conflict.status_code == 409
    assert conflict.json()["conflict"]["theirs"] == "140 ± 0.1 g"
    assert conflict.json()["conflict"]["who"] == "Ada"
    entry = served.page.get(f"{API}/history").json()["entries"][0]
    assert (entry["who"], entry["path"]) == ("Ada", ["body", "mass"])
    assert served.page.post(f"{API}/undo", json={"entry": entry["n"], "who": "Ada"}).status_code == 200
    assert _field(served, "body", "mass") == field


def test_forms_work_without_script_and_show_both_in_a_conflict(served: Served) -> None:
    page = served.page.get(f"{U}/outside").text
    form = re.search(
        r'name="path" value="\[&#34;body&#34;, &#34;material&#34;\]"><input[^>]*name="base" value="(\w+)"', page
    )
    assert form
    told = {
        "token": served.token,
        "file": "unit.toml",
        "path": '["body", "material"]',
        "base": form[1],
        "back": "outside",
    }
    answer = served.page.post(f"{U}/edit", data={**told, "value": "ABS"})
    assert answer.status_code == 303
    both = served.page.post(f"{U}/edit", data={**told, "value": "polycarbonate"})
    assert both.status_code == 409
    assert "ABS" in both.text
    assert "polycarbonate" in both.text
    base = re.search(r'name="base" value="(\w+)"', both.text)
    assert base
    again = served.page.post(f"{U}/edit", data={**told, "base": base[1], "value": "ABS or polycarbonate"})
    assert again.status_code == 303
    assert _field(served, "body", "material")["value"] == "ABS or polycarbonate"


def test_parts_are_edited_pasted_and_taken_away(served: Served) -> None:
    rows = served.page.get(f"{API}/parts").json()["rows"]
    part = next(row for row in rows if row["ref"] == "C3")
    told = {"ref": "C3", "column": "note", "value": "bulged", "base": part["cells"]["note"]["version"]}
    assert served.page.patch(f"{API}/parts", json=told).json()["value"] == "bulged"
    assert served.page.patch(f"{API}/parts", json=told).status_code == 409
    pasted = "ref\tkind\tmarking\nC91\tcapacitor\t474K\nR91\tresistor\t4R7\n"
    assert served.page.post(f"{U}/paste", data={"token": served.token, "rows": pasted}).status_code == 303
    assert served.page.post(f"{U}/paste", data={"token": served.token, "rows": pasted}).status_code == 409
    added = next(row for row in served.page.get(f"{API}/parts").json()["rows"] if row["ref"] == "R91")
    assert added["cells"]["marking"]["value"] == "4R7"
    gone = served.page.request("DELETE", f"{API}/parts", json={"ref": "R91", "base": added["version"]})
    assert gone.status_code == 200


def test_marks_are_put_and_taken_away_one_by_one(served: Served) -> None:
    body = [{"type": "TextualBody", "purpose": "identifying", "value": "part:C3"}]
    selector = {"type": "FragmentSelector", "value": "xywh=pixel:10,20,30,40"}
    mark = {
        "id": "urn:uuid:1",
        "type": "Annotation",
        "body": body,
        "target": {"source": "body.jpg", "selector": selector},
    }
    count = len(served.page.get(f"{API}/marks").json()["marks"])
    answer = served.page.put(f"{API}/marks", json={"annotation": mark, "base": "absent"})
    assert answer.status_code == 200
    assert served.page.put(f"{API}/marks", json={"annotation": mark, "base": "absent"}).status_code == 409
    assert len(served.page.get(f"{API}/marks").json()["marks"]) == count + 1
    gone = served.page.request("DELETE", f"{API}/marks", json={"id": "urn:uuid:1", "base": answer.json()["version"]})
    assert gone.status_code == 200
    bad = {**mark, "target": {"source": "body.jpg", "selector": {"type": "SvgSelector", "value": "<circle/>"}}}
    assert served.page.put(f"{API}/marks", json={"annotation": bad, "base": "absent"}).status_code == 422


def _events(served: Served, found: list[tuple[str, Any]], ready: threading.Event, ended: threading.Event) -> None:
    with served.page.stream("GET", f"{API}/events", timeout=20) as stream:
        name = ""
        for line in stream.iter_lines():
            if line.startswith("event: "):
                name = line[7:]
            elif line.startswith("data: "):
                found.append((name, json.loads(line[6:])))
                ready.set()
            if ended.is_set():
                return


def _wait(found: list[tuple[str, Any]], name: str, test: Any = lambda data: True) -> Any:
    for _ in range(300):
        if chosen := [data for one, data in found if one == name and test(data)]:
            return chosen[0]
        time.sleep(0.02)
    raise AssertionError(f"no {name} among {[one for one, _ in found]}")


def test_edits_of_others_and_by_hand_are_told_to_everyone(served: Served) -> None:
    found: list[tuple[str, Any]] = []
    ready, ended = threading.Event(), threading.Event()
    reader = threading.Thread(target=_events, args=(served, found, ready, ended), daemon=True)
    reader.start()
    assert ready.wait(10)
    assert found[0][0] in ("hello", "people")
    field = _field(served, "unit", "notes")
    told = {"path": ["unit", "notes"], "value": "seen by all", "base": field["version"], "who": "Ada"}
    served.page.patch(f"{API}/unit.toml", json=told)
    change = _wait(found, "change", lambda data: data["value"] == "seen by all")
    assert change["who"] == "Ada"
    file = served.unit / "unit.toml"
    file.write_text(file.read_text(encoding="utf-8").replace("seen by all", "typed by hand"), encoding="utf-8")
    assert _wait(found, "change", lambda data: data["outside"])["file"] == "unit.toml"
    assert _wait(found, "findings")["counts"]
    ended.set()
    served.page.post(f"{API}/jobs", json={"kind": "tiles", "photo": "body.jpg"})
    reader.join(20)
    assert not reader.is_alive()


def _done(served: Served, job: dict[str, Any]) -> Iterator[dict[str, Any]]:
    for _ in range(400):
        told = served.page.get(f"{API}/jobs/{job['id']}").json()
        yield told
        if told["state"] in ("done", "failed", "cancelled"):
            return
        time.sleep(0.05)


def test_the_report_is_written_in_the_background_and_can_be_read(served: Served) -> None:
    answer = served.page.post(f"{API}/jobs", json={"kind": "report", "formats": ["html", "md"]})
    assert answer.status_code == 202
    *_, last = _done(served, answer.json())
    assert last["state"] == "done", last
    page = served.page.get(f"{U}/report/report.html")
    assert "sandbox" in page.headers["content-security-policy"]
    assert "Tern 65" in page.text
    assert last["id"] in [job["id"] for job in served.page.get(f"{API}/jobs").json()["jobs"]]


def test_jobs_that_run_or_wait_can_be_cancelled() -> None:
    jobs, go = Jobs(Hub()), threading.Event()

    def work(progress: Any) -> str:
        go.wait(10)
        progress(0.5, "halfway")
        return "never"

    running, waiting = jobs.start("slow", work), jobs.start("slow", work)
    assert running is not None
    assert waiting is not None
    jobs.cancel(waiting)
    assert waiting.state == "cancelled"
    jobs.cancel(running)
    go.set()
    for _ in range(500):
        if running.state == "cancelled":
            break
        time.sleep(0.02)
    assert (running.state, running.result) == ("cancelled", None)
    jobs.close()


def test_tiles_together_are_the_photo(served: Served) -> None:
    info = served.page.get(f"{U}/photos/main-bottom.jpg/tiles/info.json").json()
    with Image.open(served.unit / "photos" / "main-bottom.jpg") as photo:
        whole = photo.convert("RGB")
    assert (info["width"], info["height"]) == whole.size
    assert 2 ** (info["levels"] - 2) < max(whole.size) <= 2 ** (info["levels"] - 1)
    put = Image.new("RGB", whole.size)
    for x in range(-(-whole.width // info["tile"])):
        for y in range(-(-whole.height // info["tile"])):
            address = info["url"].format(z=info["levels"] - 1, x=x, y=y)
            tile = Image.open(io.BytesIO(served.page.get(address).content))
            put.paste(tile, (x * info["tile"], y * info["tile"]))
    difference = np.abs(np.asarray(put, dtype=float) - np.asarray(whole, dtype=float)).mean()
    assert difference < 2.5
    one = Image.open(io.BytesIO(served.page.get(info["url"].format(z=0, x=0, y=0)).content))
    assert one.size == (1, 1)
    assert served.page.get(info["url"].format(z=info["levels"], x=0, y=0)).status_code == 404
    assert tiles.level_count(1, 1) == 1


@pytest.mark.parametrize("orientation", [1, 6])
@pytest.mark.parametrize("form", ["jpg", "png"])
def test_small_levels_are_the_photo_made_small(tmp_path: Path, form: str, orientation: int) -> None:
    """Exif 2.32, tag 0x0112: 6 is a quarter turn to the right."""
    width, height = 1501, 1003
    ramp = np.add.outer(np.arange(height) / height, np.arange(width) / width) * 127
    picture = Image.fromarray(np.stack([ramp, 255 - ramp, ramp], axis=2).astype(np.uint8))
    exif = Image.Exif()
    exif[0x0112] = orientation
    (tmp_path / "photos").mkdir()
    picture.save(tmp_path / "photos" / f"one.{form}", exif=exif)
    turned = picture if orientation == 1 else picture.transpose(Image.Transpose.ROTATE_270)
    found = tiles.find_picture(tmp_path, tmp_path / "cache", f"one.{form}")
    top = tiles.level_count(width, height) - 1
    for steps in (2, 3, 4):
        told = Image.open(io.BytesIO(tiles.tile(found, top - steps, 0, 0)))
        expected = turned.resize(tuple(-(-side // 2**steps) for side in turned.size), resample=Image.Resampling.BOX)
        assert told.size == tuple(min(side, tiles.TILE) for side in expected.size)
        pair = [np.asarray(one, dtype=float) for one in (told, expected.crop((0, 0, *told.size)))]
        assert np.abs(pair[0] - pair[1]).mean() < 2.5


def test_levels_hold_every_sample_between_them(served: Served) -> None:
    capture = next(iter(open_unit(served.unit).captures.values()))
    channel = capture.recording.channel("vbus")
    values = capture.recording.values(channel, 0.0, capture.duration_s)
    for points in (10, 400):
        told = served.page.get(f"{API}/captures/c1-attach.sigmf-meta/levels?channel=vbus&points={points}").json()
        assert len(told["t_s"]) <= points
        assert min(told["low"]) == pytest.approx(values.min())
        assert max(told["high"]) == pytest.approx(values.max())
        assert all(low <= mean <= high for low, mean, high in zip(told["low"], told["mean"], told["high"], strict=True))


def test_long_recordings_are_answered_from_blocks_with_the_same_extremes(tmp_path: Path, monkeypatch: Any) -> None:
    from partingline.readers.cc import read_capture
    from partingline.workbench import signals
    from tests.workbench.conftest import DEMO

    capture = read_capture(DEMO / "captures" / "c1-attach.sigmf-meta")
    end = capture.duration_s or 0.0
    fine = signals.levels(capture, "vbus", 0.0, end, 50, tmp_path)
    monkeypatch.setattr(signals, "_FROM_SAMPLES", 0)
    monkeypatch.setattr(signals, "BLOCK", 64)
    for _ in range(2):
        coarse = signals.levels(capture, "vbus", 0.0, end, 50, tmp_path)
        assert fine is not None
        assert coarse is not None
        assert min(coarse["low"]) == min(fine["low"])
        assert max(coarse["high"]) == max(fine["high"])
    assert list((tmp_path / "levels").iterdir())


def test_a_unit_is_made_from_nothing(served: Served) -> None:
    assert served.page.post("/new", data={"id": "from nothing", "token": served.token}).status_code == 303
    at, api = "/unit/from%20nothing", "/api/unit/from%20nothing"
    for page in PAGES:
        assert served.page.get(f"{at}/{page}").status_code == 200
    photo = (served.unit / "photos" / "body.jpg").read_bytes()
    kept = served.page.put(f"{api}/uploads/photos/first.jpg", content=photo)
    assert kept.json()["bytes"] == len(photo)
    files = {"files": ("notes.csv", b"Time (s),Pin (W)\n0,1\n1,1\n")}
    upload = served.page.post(f"{at}/upload/logs?token={served.token}&back=measurements", files=files)
    assert upload.status_code == 303
    log = {"token": served.token, "file": "notes.csv", "kind": "no load"}
    assert served.page.post(f"{at}/log", data=log).status_code == 303
    step = {"token": served.token, "does": "The shell is cut", "takes": "shell", "photo": "photos/first.jpg"}
    assert served.page.post(f"{at}/step", data=step).status_code == 303
    assert served.page.post(f"{at}/step", data={"token": served.token, "does": " "}).status_code == 422
    shown = served.page.get(f"{at}/opening").text
    assert "Step by step" in shown
    assert 'value="The shell is cut"' in shown
    steps = served.page.get(f"{at}/findings").text
    assert "first.jpg" in served.page.get(f"{at}/boards").text
    key = re.search(r'name="key" value="([^"]+)"', steps)
    if key:
        told = {"token": served.token, "key": key[1], "value": "1 W", "back": "findings"}
        assert served.page.post(f"{at}/reading", data=told).status_code == 303
    assert "from nothing" in served.page.get("/?find=nothing").text
    for bad in ("", "..", "a/b", ".hidden", "tern-65", "x" * 200):
        assert served.page.post("/new", data={"id": bad, "token": served.token}).status_code == 422


def test_heic_and_tiff_can_be_dropped_in_and_are_shown(served: Served) -> None:
    """ISO/IEC 23008-12 by libheif (pillow-heif), TIFF 6.0 by Pillow."""
    pillow_heif = pytest.importorskip("pillow_heif")
    image = Image.new("RGB", (640, 480), "#8a5a2b")
    heic = io.BytesIO()
    pillow_heif.from_pillow(image).save(heic)
    tiff = io.BytesIO()
    image.save(tiff, "TIFF")
    for name, data in (("phone.heic", heic.getvalue()), ("scan.tif", tiff.getvalue())):
        assert served.page.put(f"{API}/uploads/photos/{name}", content=data).status_code == 201
        info = served.page.get(f"{U}/photos/{name}/tiles/info.json").json()
        assert (info["width"], info["height"]) == (640, 480)
        small = Image.open(io.BytesIO(served.page.get(f"{U}/photos/{name}/small.jpg").content)).convert("RGB")
        assert all(
            abs(a - b) < 12 for a, b in zip(small.resize((1, 1)).getpixel((0, 0)), (0x8A, 0x5A, 0x2B), strict=True)
        )


def test_check_starts_without_the_workbench() -> None:
    code = "import sys, partingline.cli.check; sys.exit('starlette' in sys.modules or 'uvicorn' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
