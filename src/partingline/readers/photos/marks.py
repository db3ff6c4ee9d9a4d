"""`photos/marks.json`: W3C Web Annotations (Recommendation, 23 February 2017) in pixels of the untouched original."""

import json
import re
from dataclasses import dataclass
from typing import Any

from partingline.model import Evidence, KeyPath, Region
from partingline.readers.folder import Folder

NAME = "photos/marks.json"
_N = r"-?\d+(?:\.\d*)?(?:[eE][+-]?\d+)?"
_NUMBER = re.compile(_N)
_XYWH = re.compile(rf"xywh=(?:pixel:)?\s*({_N}),\s*({_N}),\s*({_N}),\s*({_N})\s*$")
"""Media Fragments URI 1.0 (W3C Recommendation, 25 September 2012), 4.2.2: without a unit the numbers are pixels."""
_SHAPE = re.compile(r"""<(polygon|polyline)[^>]*\spoints=["']([^"']+)["']""")
_FARTHEST = 1e6
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
    except (ValueError, RecursionError) as error:  # ValueError: broken JSON, and numbers beyond what is sensible
        place = KeyPath("JSON", getattr(error, "lineno", 0))
        folder.report(NAME, str(error)[:120], "JSON: an array of annotations", "Mend that place.", place)
        return ()
    items = raw.get("items") if isinstance(raw, dict) else raw
    if not isinstance(items, list):
        folder.report(NAME, "no array of annotations", "an array, or a page with 'items'", "Mend the file.")
        return ()
    return tuple(mark for index, item in enumerate(items) if (mark := _mark(folder, index, item)) is not None)


def _mark(folder: Folder, index: int, item: Any) -> Mark | None:
    place = KeyPath(f"annotation {index + 1}")
    target = item.get("target") if isinstance(item, dict) else None
    if not isinstance(target, dict):
        expected = "'target' with 'source' and 'selector'"
        folder.report(NAME, "an annotation without a target", expected, "Add or remove it.", place)
        return None
    photo = _text(target.get("source")).removeprefix("photos/")
    points, closed = _points(target.get("selector"))
    subject, text = _bodies(item.get("body"))
    if not points or not subject:
        found = "cannot be placed" if not points else "says nothing of its subject"
        expected = "a FragmentSelector 'xywh=pixel:x,y,w,h' or an SvgSelector, and a body with purpose 'identifying'"
        folder.report(NAME, f"an annotation that {found}", expected, "Draw it again, or remove it.", place)
        return None
    name = f"photos/{photo}"
    if not photo or not folder.has(name):
        found = f"photo '{photo}' is not there"
        folder.report(NAME, found, "a file in photos/", "Copy the photo in.", place, loses=False)
    return Mark(subject, name, points, closed, text, folder.evidence(name, _bounds(points)))


def _bounds(points: tuple[Point, ...]) -> Region:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Region(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


def _points(selector: Any) -> tuple[tuple[Point, ...], bool]:
    """The outline, and whether it is closed; without points where it cannot be read or leads beyond any picture."""
    if not isinstance(selector, dict):
        return (), False
    value, kind = _text(selector.get("value")), selector.get("type")
    if kind == "FragmentSelector" and (match := _XYWH.search(value)):
        points: tuple[Point, ...]
        x, y, w, h = (float(number) for number in match.groups())
        points, closed = ((x, y), (x + w, y), (x + w, y + h), (x, y + h)), True
    elif kind == "SvgSelector" and (shape := _SHAPE.search(value)):
        flat = [float(number) for number in _NUMBER.findall(shape.group(2))]
        points, closed = tuple(zip(flat[::2], flat[1::2], strict=False)), shape.group(1) == "polygon"
    else:
        return (), False
    return (points, closed) if all(abs(n) <= _FARTHEST for point in points for n in point) else ((), False)


def _bodies(body: Any) -> tuple[str, str]:
    bodies = body if isinstance(body, list) else [body]
    said = {_text(b.get("purpose")): _text(b.get("value")) for b in bodies if isinstance(b, dict)}
    return said.get("identifying", ""), said.get("describing", "")


def _text(value: Any) -> str:
    """Text without the half characters that JSON can write and no file can hold."""
    return value.encode("utf-8", "replace").decode("utf-8") if isinstance(value, str) else ""
