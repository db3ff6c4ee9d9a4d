"""A photo with what was marked on it: numbered pins, outlines, and measured paths with their length.

What comes in: a `Photo` of the document. What goes out: an SVG with the picture inside, scaled
for the page and without its metadata (position, camera), which nobody asked to publish.
"""

import base64
import hashlib
import io
import math
from collections.abc import Callable

from partingline.publish.document import Measure, Outline, Photo
from partingline.publish.figures.place import Box, Point, place_boxes, place_discs
from partingline.publish.figures.svg import drawing, element, number, points, text, text_width
from partingline.readers.photos.metadata import private_metadata
from partingline.readers.photos.opening import as_shown

HALF, FULL = 440.0, 880.0
"""Units across the drawing, beside another figure or alone; a pin is 19 units wide in both."""
_LARGEST_PX = 1500
_KEEP_BYTES = 300_000
_SCALED: dict[bytes, tuple[str, bytes]] = {}
_MOST_SCALED = 64
_DARK, _LIGHT, _MARK = "#16191b", "#ffffff", "#ffcf9f"


def annotated_photo(photo: Photo, width: float = FULL) -> str:
    """The picture with its marks, `width` units across; where the picture cannot be read, a frame that says so."""
    scale = width / max(photo.width, 1)
    height = min(max(photo.height * scale, 40.0), 4 * width)

    def to_units(point: Point) -> Point:
        return point[0] * scale, point[1] * scale

    outlines = "".join(_outline(outline, to_units) for outline in photo.outlines)
    pins = [to_units((pin.x, pin.y)) for pin in photo.callouts]
    labels = _label_boxes(photo.measures, to_units, (width, height), pins)
    measures = "".join(_measure(measure, box, to_units) for measure, box in zip(photo.measures, labels, strict=True))
    spots, radius = place_discs(pins, 9.5, width, height, [box for box in labels if box])
    leaders = "".join(_leader(wish, spot) for wish, spot in zip(pins, spots, strict=True))
    discs = "".join(_disc(pin.number, spot, radius) for pin, spot in zip(photo.callouts, spots, strict=True))
    return drawing(width, height, _picture(photo, width, height) + outlines + measures + leaders + discs)


def _picture(photo: Photo, width: float, height: float) -> str:
    try:
        media_type, data = page_picture(photo.data)
    except Exception:  # a broken file can fail in any way inside a decoder; the report must come all the same
        frame = element("rect", x=0.5, y=0.5, width=width - 1, height=height - 1, fill="none", stroke="var(--rule)")
        return frame + text(width / 2, height / 2, "this picture could not be read", anchor="middle")
    encoded = base64.b64encode(data).decode("ascii")
    return (
        f'<image width="{number(width)}" height="{number(height)}" preserveAspectRatio="none" '
        f'href="data:{media_type};base64,{encoded}"/>'
    )


def page_picture(data: bytes) -> tuple[str, bytes]:
    """Media type and bytes of a picture scaled for the page, turned as viewers show it, without metadata; each once."""
    digest = hashlib.sha256(data).digest()
    if digest not in _SCALED:
        while len(_SCALED) >= _MOST_SCALED:
            del _SCALED[next(iter(_SCALED))]
        _SCALED[digest] = _scaled(data)
    return _SCALED[digest]


def _scaled(data: bytes) -> tuple[str, bytes]:
    from PIL import Image

    with Image.open(io.BytesIO(data)) as original:
        if original.format == "PNG" and len(data) <= _KEEP_BYTES and not private_metadata(data):
            original.verify()
            return "image/png", data
        original.draft("RGB", (_LARGEST_PX, _LARGEST_PX))
        picture = as_shown(original)
        picture.thumbnail((_LARGEST_PX, _LARGEST_PX))
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=84)
    return "image/jpeg", out.getvalue()


def _outline(outline: Outline, to_units: Callable[[Point], Point]) -> str:
    corners = [to_units(point) for point in outline.points]
    if not corners:
        return ""
    return _cased("polygon", points(corners), 1.4)


def _measure(measure: Measure, box: Box | None, to_units: Callable[[Point], Point]) -> str:
    path = [to_units(point) for point in measure.points]
    line = _cased("polyline", points(path), 2.2) if path else ""
    if box is None:
        return line
    plate = element("rect", x=box.x, y=box.y, width=box.w, height=box.h, rx=2, fill=_DARK, fill_opacity="0.82")
    words = text(box.x + 6, box.y + 15, measure.label, size=12.5, fill=_MARK, weight=600)
    limit = text(box.x + 6, box.y + 30, measure.limit, size=11, fill=_LIGHT) if measure.limit else ""
    return line + plate + words + limit


def _label_boxes(
    measures: tuple[Measure, ...], to_units: Callable[[Point], Point], size: Point, pins: list[Point]
) -> list[Box | None]:
    wishes, sizes, avoid = [], [], list(pins)
    for measure in measures:
        path = [to_units(point) for point in measure.points] or [(size[0] / 2, size[1] / 2)]
        w = 12 + max(text_width(measure.label, 12.5) * 1.05, text_width(measure.limit, 11))
        h = 36.0 if measure.limit else 21.0
        middle = sum(x for x, _ in path) / len(path)
        wishes.append((middle, max(y for _, y in path) + h / 2 + 6))
        sizes.append((min(w, size[0]), h))
        avoid += path
    return place_boxes(wishes, sizes, size[0], size[1], avoid)


def _leader(wish: Point, spot: Point) -> str:
    """From the place that is meant to the disc that had to move."""
    if math.dist(wish, spot) <= 1:
        return ""
    path = points([wish, spot])
    line = element("polyline", points=path, stroke=_DARK, stroke_width=2.6)
    line += element("polyline", points=path, stroke=_LIGHT, stroke_width=1.2)
    return line + element("circle", cx=wish[0], cy=wish[1], r=2.4, fill=_LIGHT, stroke=_DARK, stroke_width=0.8)


def _disc(label: str, spot: Point, radius: float) -> str:
    disc = element("circle", cx=spot[0], cy=spot[1], r=radius, fill=_LIGHT, stroke=_DARK, stroke_width=0.8)
    size = min(1.15 * radius, 1.7 * radius / max(text_width(label, 1), 0.1))
    return disc + text(spot[0], spot[1] + 0.36 * size, label, size=size, fill=_DARK, anchor="middle", weight=600)


def _cased(shape: str, path: str, width: float) -> str:
    """A light line on a dark one, legible on any picture."""
    under = element(shape, points=path, fill="none", stroke=_DARK, stroke_width=width + 1.4, stroke_opacity="0.7")
    return under + element(shape, points=path, fill="none", stroke=_MARK, stroke_width=width, stroke_linejoin="round")
