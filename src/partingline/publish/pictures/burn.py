"""Photos with pins, outlines and measured paths drawn into the pixels; position and camera data are left out."""

import io
import json
from collections.abc import Iterator
from typing import Any

from partingline.publish.document import Document, Figure, FigureRow, Photo
from partingline.publish.lettering import BOLD, letter, width
from partingline.readers.photos.opening import PictureError, as_shown

LARGEST = 2400
_PIN, _INK, _LINE = "#16191b", "#ffffff", "#ffcf9f"
Box = tuple[float, float, float, float]
_CAPITALS = 0.67
"""The height of a digit, in sizes of the face."""


def picture_folder(document: Document) -> dict[str, bytes]:
    """`NAME.jpg` for each photo of the document, `alt.json` with title, alternative text and pins of each.

    A photo that breaks off is left out.
    """
    files: dict[str, bytes] = {}
    told: dict[str, dict[str, object]] = {}
    for figure in _photos(document):
        assert isinstance(figure.content, Photo)
        stem, _, ending = figure.id.rpartition("/")[2].rpartition(".")
        name = f"{stem}.jpg" if f"{stem}.jpg" not in files else f"{stem}-{ending}.jpg"
        try:
            files[name] = burned(figure.content)
        except PictureError:  # a picture that breaks off: the report says so, in its place
            continue
        pins = {pin.number: pin.label for pin in figure.content.callouts}
        told[name] = {"title": figure.title, "alt": figure.alt, "pins": pins}
    files["alt.json"] = (json.dumps(told, ensure_ascii=False, indent=1) + "\n").encode("utf-8")
    return files


def _photos(document: Document) -> Iterator[Figure]:
    for section in document.sections:
        for block in section.blocks:
            figures = block.figures if isinstance(block, FigureRow) else (block,) if isinstance(block, Figure) else ()
            yield from (figure for figure in figures if isinstance(figure.content, Photo))


def burned(photo: Photo) -> bytes:
    """One photo as JPEG with its marks, at most `LARGEST` pixels on a side. PictureError for a broken one."""
    from PIL import Image, ImageDraw

    with Image.open(io.BytesIO(photo.data)) as opened:
        picture = as_shown(opened)
    scale = min(1.0, LARGEST / max(picture.size))
    if scale < 1.0:
        picture = picture.resize((round(picture.width * scale), round(picture.height * scale)))
    pen = ImageDraw.Draw(picture)
    size = max(picture.size) / 1000
    for outline in photo.outlines:
        _path(pen, [*outline.points, outline.points[0]], scale, size)
    plates: list[Box] = []
    for measure in photo.measures:
        _path(pen, list(measure.points), scale, size)
        below = max(y for _, y in measure.points) * scale + 8 * size
        lines = [measure.label, *filter(None, measure.limit.split("; "))]
        plates.append(_label(pen, lines, (measure.points[0][0] * scale, below), size, plates))
    for pin in photo.callouts:
        _disc(pen, pin.number, pin.x * scale, pin.y * scale, size)
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=88, optimize=True)
    return out.getvalue()


def _path(pen: Any, points: list[tuple[float, float]], scale: float, size: float) -> None:
    scaled = [(x * scale, y * scale) for x, y in points]
    pen.line(scaled, fill=_PIN, width=max(3, round(5 * size)), joint="curve")
    pen.line(scaled, fill=_LINE, width=max(1, round(2.5 * size)), joint="curve")


def _disc(pen: Any, number: str, x: float, y: float, size: float) -> None:
    radius = 13 * size
    pen.ellipse(
        (x - radius, y - radius, x + radius, y + radius), fill=_PIN, outline=_INK, width=max(1, round(2 * size))
    )
    height = _height(size)
    letter(pen, (x - width(pen, number, BOLD, height) / 2, y + _CAPITALS * height / 2), number, BOLD, height, _INK)


def _label(pen: Any, lines: list[str], place: tuple[float, float], size: float, taken: list[Box]) -> Box:
    """Lines on a plate whose upper left is at a place: moved where it would leave the picture or cover another one."""
    height = _height(size)
    step = round(1.25 * height)
    across, down = max(width(pen, line, BOLD, height) for line in lines), step * len(lines)
    right, bottom = pen.im.size
    left, top = max(8.0, min(place[0], right - across - 8)), max(8.0, min(place[1], bottom - down - 8))
    box = (left - 6, top - 4, left + across + 6, top + down + 2)
    while (hit := next((one for one in taken if _overlap(one, box)), None)) and hit[3] + down + 16 < bottom:
        top = hit[3] + 10
        box = (box[0], top - 4, box[2], top + down + 2)
    pen.rectangle(box, fill=_PIN)
    for number, line in enumerate(lines):
        letter(pen, (left, top + number * step + 0.9 * height), line, BOLD, height, _INK)
    return box


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _height(size: float) -> int:
    return max(10, round(15 * size))
