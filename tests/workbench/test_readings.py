"""From a photo to a statement by way of a person: nothing is known before a proposal is accepted.

Decoded values: IEC 60062:2016 (three-digit and RKM codes). The pictures are drawn here; all names are invented.
"""

import time
import warnings
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageFont

from partingline.facts.opened import open_unit
from partingline.model import Key, Number, Region, Route
from partingline.workbench.editing import RefusedError, Writer
from partingline.workbench.readings import LABEL, Place, accept, places, proposed
from tests.workbench.conftest import Served

HEAD = "ref,stage,kind,role,marking\n"
R1 = Key.of("part:R1", "resistance")
PIN = Region(20, 20, 160, 70)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    folder = tmp_path / "unit"
    (folder / "photos").mkdir(parents=True)
    (folder / "unit.toml").write_text('[unit]\nmaker = "Invented"\n[label]\ntext = ""\nphoto = "photos/board.png"\n')
    (folder / "parts.csv").write_text(HEAD + "R1,primary,resistor,,\n")
    picture = Image.new("RGB", (220, 120), "#2c3b34")
    draw = ImageDraw.Draw(picture)
    draw.rectangle((20, 20, 180, 90), fill="#191b1d")
    draw.text((48, 32), "4R7", "#d6d8d4", ImageFont.load_default(size=44))
    picture.save(folder / "photos" / "board.png")
    accept(_writer(folder), _writer(folder), Place("part:R1", "photos/board.png", PIN, "resistor", ""), "pin only", "A")
    pinned = (folder / "photos" / "marks.json").read_text().replace("reads: pin only", "").replace("#reads-R1", "#pin")
    (folder / "photos" / "marks.json").write_text(pinned)
    return folder


def _writer(folder: Path) -> Writer:
    return Writer(folder, folder.parent / "lock")


def _accept(root: Path, place: Place, text: str, who: str) -> None:
    accept(_writer(root), _writer(root), place, text, who)


def test_a_proposal_is_read_but_not_taken(root: Path) -> None:
    pytest.importorskip("rapidocr")
    opened = open_unit(root)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = {place.subject: lines for place, lines in proposed(opened, places(opened, ["part:R1"]))}
    assert [line.text for line in found["part:R1"]] == ["4R7"]
    assert open_unit(root).book.fact(R1) is None


def test_what_is_accepted_is_a_photographed_statement_at_its_place(root: Path) -> None:
    (place,) = places(open_unit(root), ["part:R1"])
    assert (place.region, place.kind, place.now) == (PIN, "resistor", "")
    _accept(root, place, "4R7", "A")
    opened = open_unit(root)
    fact = opened.book.fact(R1)
    assert fact is not None
    said = fact.preferred
    assert (said.route, said.said, fact.value) == (Route.PHOTOGRAPHED, "4R7", pytest.approx(4.7))
    assert [(one.path, one.place) for one in said.evidence] == [("photos/board.png", PIN)]
    assert opened.unit.parts[0].marking == "4R7"
    assert places(opened, ["part:R1"])[0].now == "4R7"


def test_a_marking_that_was_typed_and_read_alike_is_one_statement(root: Path) -> None:
    _accept(root, places(open_unit(root), ["part:R1"])[0], "4R7", "A")
    (root / "parts.csv").write_text(HEAD + "R1,primary,resistor,,4r7\n")
    fact = open_unit(root).book.fact(R1)
    assert fact is not None
    assert [s.route for s in fact.statements] == [Route.PHOTOGRAPHED]
    assert [one.path for one in fact.preferred.evidence] == ["photos/board.png", "parts.csv"]


def test_a_marking_that_was_typed_otherwise_is_held_against_it(root: Path) -> None:
    _accept(root, places(open_unit(root), ["part:R1"])[0], "4R7", "A")
    (root / "parts.csv").write_text(HEAD + "R1,primary,resistor,,47R\n")
    fact = open_unit(root).book.fact(R1)
    assert fact is not None
    told = {s.route: s.value.value for s in fact.statements if isinstance(s.value, Number)}
    assert told == {Route.PHOTOGRAPHED: pytest.approx(4.7), Route.MARKING: pytest.approx(47.0)}
    assert "contradicted" in [standing.value for standing in fact.standings]


def test_accepting_again_corrects_and_keeps_the_pin(root: Path) -> None:
    for text in ("4R1", "4R7"):
        _accept(root, places(open_unit(root), ["part:R1"])[0], text, "A")
    opened = open_unit(root)
    assert opened.book.fact(R1) is not None
    assert sorted(mark.text for mark in opened.marks) == ["", "reads: 4R7"]


def test_a_label_is_taken_only_where_none_is_typed(root: Path) -> None:
    (label,) = places(open_unit(root), [LABEL])
    assert (label.photo, label.region) == ("photos/board.png", None)
    _accept(root, label, "INPUT: 100-240V~ 50/60Hz 1.8A", "A")
    fact = open_unit(root).book.fact(Key.of("unit", "rated_input_current"))
    assert fact is not None
    assert fact.value == 1.8
    with pytest.raises(RefusedError, match=r"label\.text"):
        _accept(root, label, "INPUT: 100-240V~ 50/60Hz 2A", "A")


def test_the_workbench_proposes_in_the_background_and_takes_what_a_person_says(served: Served) -> None:
    """R10 of the demonstration unit is printed R100: 0.1 Ω by IEC 60062:2016."""
    pytest.importorskip("rapidocr")
    at = "/api/unit/tern-65"
    job = served.page.post(f"{at}/jobs", json={"kind": "readings", "subjects": ["part:R10"]}).json()
    ended = _ended(served, f"{at}/jobs/{job['id']}")
    (printed,) = ended["result"]["printed"]
    assert (printed["subject"], [line["text"] for line in printed["proposals"]]) == ("part:R10", ["R100"])
    answer = served.page.post(f"{at}/readings", json={"subject": "part:R10", "text": "R100", "who": "A"})
    assert answer.status_code == 200
    fact = open_unit(served.unit).book.fact(Key.of("part:R10", "resistance"))
    assert fact is not None
    assert (fact.preferred.route, fact.value) == (Route.PHOTOGRAPHED, pytest.approx(0.1))
    assert served.page.post(f"{at}/readings", json={"subject": "part:X99", "text": "1", "who": "A"}).status_code == 404
    assert served.page.post(f"{at}/jobs", json={"kind": "readings", "subjects": "R10"}).status_code == 400


def _ended(served: Served, address: str) -> dict[str, Any]:
    for _ in range(600):
        told: dict[str, Any] = served.page.get(address).json()
        if told["state"] in ("done", "failed", "cancelled"):
            return told
        time.sleep(0.1)
    raise AssertionError(f"still {told['state']}")
