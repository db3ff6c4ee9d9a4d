"""Long work: every kind ends with what it made, tells how far it is, can be cancelled, and is found again."""

import threading
import time
from pathlib import Path
from typing import Any

import bagit
import pytest

from partingline.workbench import signals, tiles, work
from partingline.workbench.jobs import CancelledError
from tests.workbench.conftest import Served

API = "/api/unit/tern-65"
KINDS = [
    {"kind": "report", "formats": ["md"]},
    {"kind": "tiles", "photo": "body.jpg"},
    {"kind": "decode", "capture": "c1-attach.sigmf-meta"},
    {"kind": "map", "offer": 20},
]


def _end(served: Served, job: dict[str, Any]) -> dict[str, Any]:
    for _ in range(3000):
        told: dict[str, Any] = served.page.get(f"{API}/jobs/{job['id']}").json()
        if told["state"] in ("done", "failed", "cancelled"):
            return told
        time.sleep(0.02)
    raise AssertionError(f"{job} did not end")


@pytest.mark.parametrize("asked", KINDS, ids=lambda one: one["kind"])
def test_each_kind_ends_with_what_it_made_and_is_found_after_a_reload(served: Served, asked: dict[str, Any]) -> None:
    answer = served.page.post(f"{API}/jobs", json=asked)
    assert answer.status_code == 202
    told = _end(served, answer.json())
    assert (told["state"], told["done"], told["error"]) == ("done", 1.0, None)
    assert told["result"]
    assert told in served.page.get(f"{API}/jobs").json()["jobs"]


def test_a_publication_is_written_and_a_bag_sealed_that_an_independent_library_finds_whole(served: Served) -> None:
    """RFC 8493 by the library bagit of the Library of Congress. The bag lies on the bench and is no unit."""
    told = _end(served, served.page.post(f"{API}/jobs", json={"kind": "publication", "language": "de"}).json())[
        "result"
    ]
    assert {"article.html", "article.pdf", "card.png", "captions.vtt", "record.jsonld"} <= set(told["files"])
    page = served.page.get("/unit/tern-65/publication/article.html")
    assert "sandbox" in page.headers["content-security-policy"]
    assert 'lang="de"' in page.text
    assert "publication/article.html" in served.page.get("/unit/tern-65/publish").text
    sealed = _end(served, served.page.post(f"{API}/jobs", json={"kind": "bag"}).json())["result"]
    assert bagit.Bag(str(served.bench / sealed["bag"])).is_valid()
    assert [unit["id"] for unit in served.page.get("/api/bench").json()["units"]] == ["tern-65"]
    again = _end(served, served.page.post(f"{API}/jobs", json={"kind": "bag"}).json())
    assert "is there already" in again["error"]
    assert served.page.post(f"{API}/jobs", json={"kind": "bag", "language": "xx"}).status_code == 400


def test_the_map_holds_the_operating_points(served: Served) -> None:
    told = _end(served, served.page.post(f"{API}/jobs", json={"kind": "map", "offer": 20}).json())["result"]
    row, column = len(told["mains"]) - 1, len(told["load"]) - 1
    asked = f"mains={told['mains'][row]}&offer=20&load={told['load'][column]}"
    point = served.page.get(f"{API}/converter/point?{asked}").json()
    assert told["efficiency"][row][column] == pytest.approx(point["efficiency"]["value"])
    assert told["total"][row][column] == pytest.approx(point["total"]["value"])


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ({"kind": "decode", "capture": "../unit.toml"}, "no such recording"),
        ({"kind": "map", "offer": 7}, "does not offer 7 V"),
    ],
)
def test_what_cannot_be_done_fails_with_its_reason(served: Served, asked: dict[str, Any], told: str) -> None:
    last = _end(served, served.page.post(f"{API}/jobs", json=asked).json())
    assert last["state"] == "failed"
    assert told in last["error"]


@pytest.mark.parametrize("asked", [{"kind": "x"}, {"kind": "map"}, {"kind": "decode"}, {"kind": "tiles"}, {}])
def test_what_is_no_job_is_refused(served: Served, asked: dict[str, Any]) -> None:
    assert served.page.post(f"{API}/jobs", json=asked).status_code == 400


@pytest.mark.parametrize("asked", KINDS, ids=lambda one: one["kind"])
def test_each_kind_stops_where_it_is_cancelled_and_keeps_nothing_half_done(
    served: Served, asked: dict[str, Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(signals, "_PIECE", signals.BLOCK * 16)
    unit = served.app.state.bench.unit("tern-65")
    monkeypatch.setattr(unit, "cache", tmp_path)
    steps: list[float] = []

    def progress(done: float, doing: str) -> None:
        assert doing
        steps.append(done)
        if len(steps) > 2:
            raise CancelledError

    before = sorted(str(path) for path in served.unit.rglob("*"))
    _, run = work.named(unit, asked)
    with pytest.raises(CancelledError):
        run(progress)
    assert steps == sorted(steps)
    assert sorted(str(path) for path in served.unit.rglob("*")) == before
    assert not list(tmp_path.rglob("*.part*"))


def test_a_job_goes_on_without_anybody_looking_and_is_cancelled_by_whoever_comes(
    served: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    go, begun = threading.Event(), threading.Event()
    plain = tiles.tile

    def slow(*told: Any) -> bytes:
        begun.set()
        go.wait(20)
        return plain(*told)

    monkeypatch.setattr(tiles, "tile", slow)
    job = served.page.post(f"{API}/jobs", json={"kind": "tiles", "photo": "label.png"}).json()
    assert begun.wait(20)
    found = next(one for one in served.page.get(f"{API}/jobs").json()["jobs"] if one["id"] == job["id"])
    assert found["state"] == "running"
    assert served.page.request("DELETE", f"{API}/jobs/{job['id']}").status_code == 200
    go.set()
    assert _end(served, job)["state"] == "cancelled"
