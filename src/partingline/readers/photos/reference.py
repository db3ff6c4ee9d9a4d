"""The scale that the marks on a photo tell: `scale: 30 mm` on a line, `scale: card`, or `scale:` and a standard size.

What comes in: the marks of one photo. What goes out: its `Scale`, or a reported problem.
"""

import math
import tomllib
from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from typing import Any

from partingline.readers.folder import Folder
from partingline.readers.photos.marks import NAME, Mark
from partingline.readers.photos.opening import Picture, PictureError, open_picture, pixels
from partingline.readers.photos.scale import Scale, ruler_scale
from partingline.readers.quantities import QuantityError, parse_quantity

PREFIX = "scale:"
_STEP = "Write 'scale: 30 mm' on a line along a rule, 'scale: card', or 'scale:' and a name of sizes.toml."


def photo_scale(folder: Folder, photo: str, marks: Sequence[Mark]) -> Scale | None:
    """The scale of a photo from its first usable mark that names one; None without any. Problems are reported."""
    named = [mark for mark in marks if mark.photo == photo and mark.text.casefold().startswith(PREFIX)]
    if not named or not folder.has(photo):
        return None
    try:
        picture = open_picture(folder.root / photo)
    except PictureError as error:
        folder.report(photo, error.found, error.expected, error.next_step)
        return None
    for mark in named:
        try:
            return _scale(picture, mark)
        except PictureError as error:
            folder.report(photo, error.found, error.expected, error.next_step, mark.evidence.place)
        except ValueError as error:
            folder.report(NAME, f"'{mark.text}' on {photo}: {error}", "a length or a standard size", _STEP)
    return None


def standard_sizes() -> dict[str, dict[str, Any]]:
    """Name, size and tolerance in mm, source of things of standard size."""
    return _sizes()


@cache
def _sizes() -> dict[str, dict[str, Any]]:
    return tomllib.loads((files("partingline.readers.photos") / "sizes.toml").read_text(encoding="utf-8"))


def _scale(picture: Picture, mark: Mark) -> Scale:
    words = mark.text[len(PREFIX) :].strip()
    size = (picture.width, picture.height)
    if words.casefold() == "card":
        from partingline.readers.photos.markers import card_scale

        return card_scale(pixels(picture), focal_35mm=picture.focal_35mm)
    name = words.casefold().replace(" ", "_").replace("-", "_")
    if name in standard_sizes():
        row = standard_sizes()[name]
        length, u = row["size"] * 1e-3, row["tolerance"] * 1e-3 / math.sqrt(3)
    else:
        try:
            read = parse_quantity(words.casefold().removesuffix("diameter").strip(), unit="m")
        except QuantityError as error:
            raise ValueError(str(error)) from None
        length, u = read.value, read.u or 0.0
    return ruler_scale(_line(mark), length, size, length_u=u, focal_35mm=picture.focal_35mm, source=words)


def _line(mark: Mark) -> tuple[tuple[float, float], ...]:
    """The ends of a line; of a closed outline (a coin) a line as long as the circle of its area is wide."""
    if not mark.closed:
        return mark.points
    points = mark.points
    doubled = sum(ax * by - bx * ay for (ax, ay), (bx, by) in zip(points, (*points[1:], points[0]), strict=True))
    wide = math.sqrt(2 * abs(doubled) / math.pi)
    x, y = mark.region.x, mark.region.y
    return (x, y), (x + wide, y)
