"""Marks on photos. Sources: W3C Web Annotation Data Model (2017), 4.2; Media Fragments URI 1.0 (2012), 4.2.2. Pillow
writes the pictures.
"""

import io
import json
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from partingline.model import Region
from partingline.readers.folder import Folder
from partingline.readers.photos import Mark, read_marks, report_broken_pictures


def annotation(selector: dict[str, Any], subject: str = "part:C3", source: str = "top.jpg") -> dict[str, Any]:
    body = [{"type": "TextualBody", "purpose": "identifying", "value": subject}]
    body.append({"type": "TextualBody", "purpose": "describing", "value": "bulk"})
    return {"type": "Annotation", "target": {"source": source, "selector": selector}, "body": body}


def fragment(value: str) -> dict[str, Any]:
    return annotation({"type": "FragmentSelector", "value": value})


def svg(value: str) -> dict[str, Any]:
    return annotation({"type": "SvgSelector", "value": value})


def read(folder: Path, value: Any) -> tuple[tuple[Mark, ...], list[str]]:
    (folder / "photos").mkdir(exist_ok=True)
    (folder / "photos/top.jpg").write_bytes(picture("JPEG"))
    (folder / "photos/marks.json").write_text(json.dumps(value), encoding="utf-8")
    opened = Folder(folder)
    return read_marks(opened), [str(problem) for problem in opened.problems]


def picture(kind: str) -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", (40, 30), "white").save(stream, kind)
    return stream.getvalue()


@pytest.mark.parametrize(
    ("given", "region", "closed", "corners"),
    [
        (fragment("xywh=pixel:10,20,30,5"), Region(10, 20, 30, 5), True, 4),
        (fragment("xywh=10,20,30,5"), Region(10, 20, 30, 5), True, 4),
        (fragment("xywh=pixel:1.5,2.5,3,4"), Region(1.5, 2.5, 3, 4), True, 4),
        (svg('<svg><polygon points="0,0 10,0 10,5"/></svg>'), Region(0, 0, 10, 5), True, 3),
        (svg("<svg><polyline fill='none' points='1 1, 4 5'/></svg>"), Region(1, 1, 3, 4), False, 2),
    ],
)
def test_places(given: Any, region: Region, closed: bool, corners: int, tmp_path: Path) -> None:
    (mark,), problems = read(tmp_path, [given])
    assert (mark.region, mark.closed, len(mark.points), problems) == (region, closed, corners, [])
    assert (mark.subject, mark.text, mark.photo) == ("part:C3", "bulk", "photos/top.jpg")
    assert mark.evidence.sha256


@pytest.mark.parametrize(
    "given",
    [
        fragment("xywh=percent:1,2,3,4"),
        fragment("xywh=pixel:1,2,3"),
        fragment("xywh=pixel:1,2,3," + "9" * 400),
        svg("<svg><circle r='3'/></svg>"),
        annotation({"type": "TextQuoteSelector", "value": "x"}),
        annotation({"type": "FragmentSelector", "value": 3}),
        annotation({"type": "FragmentSelector", "value": "xywh=1,2,3,4"}, subject=""),
        {"target": "top.jpg", "body": []},
        {},
        None,
        3,
    ],
)
def test_what_cannot_be_placed_is_said_and_the_next_is_read(given: Any, tmp_path: Path) -> None:
    marks, problems = read(tmp_path, [given, fragment("xywh=pixel:1,2,3,4")])
    assert len(marks) == 1
    assert any("annotation 1" in problem for problem in problems)


def test_a_page_of_annotations_is_a_list_too(tmp_path: Path) -> None:
    """Web Annotation Data Model, 5.2: AnnotationPage with 'items'."""
    assert len(read(tmp_path, {"type": "AnnotationPage", "items": [fragment("xywh=1,2,3,4")]})[0]) == 1
    assert any("no array" in problem for problem in read(tmp_path, {"type": "AnnotationPage"})[1])


def test_photo_that_is_not_there_or_outside(tmp_path: Path) -> None:
    for source in ("gone.jpg", "../../etc/hostname"):
        marks, problems = read(
            tmp_path, [annotation({"type": "FragmentSelector", "value": "xywh=1,2,3,4"}, source=source)]
        )
        assert any(source in problem and "is not there" in problem for problem in problems)
        assert marks[0].evidence.sha256 == ""


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
@pytest.mark.parametrize(
    ("change", "told"),
    [("none", ""), ("cut", "stops before its end"), ("empty", "empty"), ("other", "as its name says"), ("more", "")],
)
def test_pictures(kind: str, change: str, told: str, tmp_path: Path) -> None:
    raw = picture(kind)
    data = {"none": raw, "cut": raw[:-20], "empty": b"", "other": b"GIF89a" + raw, "more": raw + b"camera notes"}[
        change
    ]
    (tmp_path / "photos").mkdir()
    (tmp_path / f"photos/a.{'jpg' if kind == 'JPEG' else 'png'}").write_bytes(data)
    folder = Folder(tmp_path)
    report_broken_pictures(folder)
    assert len(folder.problems) == (1 if told else 0)
    assert all(told in str(problem) for problem in folder.problems)
