"""`photos/marks.json`: W3C Web Annotations (W3C Recommendation, 23 February 2017) in pixels of the untouched original."""

import json
import re
from dataclasses import dataclass
from typing import Any

from partingline.model import Evidence, KeyPath, Region
from partingline.readers.folder import Folder

NAME = "photos/marks.json"
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark: what it is of, on which photo, and where. `points` is an outline or a line; a region has four."""

    subject: str
    photo: str
    points: tuple[Point, ...]
    closed: bool
    text: str
    evidence: Evidence

    @property
    def region(self) -> Region:
        """The rectangle about the mark."""
        return _bounds(self.points)


def read_marks(folder: Folder) -> tuple[Mark, ...]:
    """Every mark that can be read; the others are reported with their place in the file."""
    file = folder.text(NAME, "an array of W3C Web Annotations")
    if file is None:
        return ()
    try:
        raw = json.loads(file.text)
    except (json.JSONDecodeError, RecursionError) as error:
        line = getattr(error, "lineno", 0)
        folder.report(
            NAME, str(error)[:120], "JSON: an array of annotations", "Mend that place.", KeyPath("JSON", line)
        )
        return ()
    items = raw.get("items", []) if isinstance(raw, dict) else raw
    if not isinstance(items, list):
        folder.report(NAME, "no array of annotations", "an array, or a page with 'items'", "Mend the file.")
        return ()
    return tuple(mark for index, item in enumerate(items) if (mark := _mark(folder, index, item)) is not None)


def _mark(folder: Folder, index: int, item: Any) -> Mark | None:
    place = KeyPath(f"annotation {index + 1}")
    target = item.get("target") if isinstance(item, dict) else None
    if not isinstance(target, dict):
        folder.report(
            NAME,
            "an annotation without a target",
            "'target' with 'source' and 'selector'",
            "Add or remove it.",
            place,
        )
        return None
    photo = str(target.get("source", "")).removeprefix("photos/")
    points, closed = _points(target.get("selector"))
    subject, text = _bodies(item.get("body"))
    if not points or not subject:
        folder.report(
            NAME,
            "an annotation that cannot be placed" if not points else "an annotation that says nothing of its subject",
            "a FragmentSelector 'xywh=pixel:x,y,w,h' or an SvgSelector, and a body with purpose 'identifying'",
            "Draw it again, or remove it.",
            place,
        )
        return None
    if not folder.has(f"photos/{photo}"):
        folder.report(
            NAME,
            f"photo '{photo}' is not there",
            "a file in photos/",
            "Copy the photo in.",
            place,
            loses=False,
        )
    return Mark(subject, f"photos/{photo}", points, closed, text, folder.evidence(f"photos/{photo}", _bounds(points)))


def _bounds(points: tuple[Point, ...]) -> Region:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Region(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


def _points(selector: Any) -> tuple[tuple[Point, ...], bool]:
    if not isinstance(selector, dict):
        return (), False
    value = str(selector.get("value", ""))
    numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", value.partition("pixel:")[2] or "")]
    if selector.get("type") == "FragmentSelector" and len(numbers) == 4:
        x, y, w, h = numbers
        return ((x, y), (x + w, y), (x + w, y + h), (x, y + h)), True
    shape = re.search(r'<(polygon|polyline)[^>]*points="([^"]+)"', value)
    if selector.get("type") == "SvgSelector" and shape:
        flat = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", shape.group(2))]
        return tuple(zip(flat[::2], flat[1::2], strict=False)), shape.group(1) == "polygon"
    return (), False


def _bodies(body: Any) -> tuple[str, str]:
    bodies = body if isinstance(body, list) else [body]
    said = {str(b.get("purpose")): str(b.get("value", "")) for b in bodies if isinstance(b, dict)}
    return said.get("identifying", ""), said.get("describing", "")
