"""`photos/marks.json`: pins on parts, outlines at the barrier, the route and the rule, as W3C Web Annotations."""

import json
from collections.abc import Sequence

from model.photos import mainboard, outside
from model.photos.barrier import pads, route, slot
from model.photos.canvas import Canvas, Point

CONTEXT = "http://www.w3.org/ns/anno.jsonld"


def marks_json(pictures: dict[str, Canvas]) -> str:
    """All marks on the pictures, by file name."""
    marks: list[dict[str, object]] = []
    for name, boxes in (
        ("main-bottom.jpg", mainboard.BOTTOM),
        ("main-top.jpg", mainboard.TOP),
        ("output-board.jpg", outside.OUTPUT),
    ):
        for ref, box in boxes.items():
            marks.append(_mark(len(marks), name, _region(pictures[name], box), f"part:{ref}"))
    board = pictures["main-bottom.jpg"]
    shapes = (
        ("barrier:main", "primary pad", "polygon", pads()[0]),
        ("barrier:main", "secondary pad", "polygon", pads()[1]),
        ("barrier:main", "slot", "polygon", slot()),
        ("barrier:main", "board", "polygon", mainboard.EDGE),
        ("barrier:main", "creepage, along the surface round the slot", "polyline", route()),
        ("unit", "scale: 30 mm", "polyline", list(mainboard.RULER)),
    )
    for subject, words, shape, points in shapes:
        marks.append(_mark(len(marks), "main-bottom.jpg", _drawn(board, shape, points), subject, words))
    for name, subject, box in (
        ("body.jpg", "port:C1", (8.0, 6.0, 9.6, 3.6)),
        ("body.jpg", "port:A1", (6.6, 16.6, 13.4, 6.2)),
    ):
        marks.append(_mark(len(marks), name, _region(pictures[name], box), subject))
    return json.dumps(marks, indent=1, ensure_ascii=False) + "\n"


def _mark(number: int, photo: str, selector: dict[str, str], subject: str, words: str = "") -> dict[str, object]:
    bodies = [{"type": "TextualBody", "purpose": "identifying", "value": subject}]
    if words:
        bodies.append({"type": "TextualBody", "purpose": "describing", "value": words})
    target = {"source": photo, "selector": selector}
    return {"@context": CONTEXT, "id": f"#mark-{number + 1}", "type": "Annotation", "body": bodies, "target": target}


def _region(c: Canvas, box: tuple[float, float, float, float]) -> dict[str, str]:
    x, y = c.pixel((box[0], box[1]))
    numbers = (x, y, box[2] * c.scale, box[3] * c.scale)
    value = "xywh=pixel:" + ",".join(str(round(number)) for number in numbers)
    return {"type": "FragmentSelector", "conformsTo": "http://www.w3.org/TR/media-frags/", "value": value}


def _drawn(c: Canvas, shape: str, points: Sequence[Point]) -> dict[str, str]:
    words = " ".join("{:.1f},{:.1f}".format(*c.pixel(point)) for point in points)
    return {"type": "SvgSelector", "value": f'<svg><{shape} points="{words}"/></svg>'}
