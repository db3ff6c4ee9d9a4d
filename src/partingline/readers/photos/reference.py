"""The scale that the marks on a photo tell: `scale: 30 mm` on a line, `scale: card`, or `scale:` and a standard size.

Words behind it may say more: `1.6 mm below` or `2 mm above` what is measured, and `tilt 20°` where the picture is not
square. What comes in: the marks of one photo. What goes out: its `Scale`, or a reported problem.
"""

import math
import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Any

import numpy as np

from partingline.readers.folder import Folder
from partingline.readers.photos.calibration import calibrated_lens
from partingline.readers.photos.camera import Lens
from partingline.readers.photos.lone import Reference, reference_scale
from partingline.readers.photos.marks import NAME, Mark
from partingline.readers.photos.opening import Picture, PictureError, open_picture, pixels
from partingline.readers.photos.scale import Scale, with_sharpness
from partingline.readers.photos.sharpness import edge_width
from partingline.readers.quantities import QuantityError, parse_quantity

PREFIX = "scale:"
_STEP = "Write 'scale: 30 mm' on a line along a rule, 'scale: card', or 'scale:' and a name of sizes.toml."
_HEIGHT = re.compile(r"([\d.,]+\s*mm)\s+(above|below)\b")
_TILT = re.compile(r"\btilt(?:ed)?\s+(\d+(?:\.\d+)?)\s*(?:°|deg(?:rees)?\b)")
_MOST_TILT = 60.0
_DISAGREE, _MORE = 13.0, 4.0
"""Chi square of two references, and of each further one, beyond which one of them is taken to be wrong: one in a
hundred (four degrees of freedom: one of the references, three of lens and focal length)."""


@dataclass(frozen=True, slots=True)
class _Told:
    """What a mark says: `name` is 'card', a standard size, or a length; `height` above what is measured, metres."""

    mark: Mark
    name: str
    height: float
    tilt: float | None


def photo_scale(folder: Folder, photo: str, marks: Sequence[Mark]) -> Scale | None:
    """The scale of a photo from the marks that tell it; None without any. Problems are reported.

    A card comes first; all lines and circles at the height of the first one are taken together.
    """
    named = [mark for mark in marks if mark.photo == photo and mark.text.casefold().startswith(PREFIX)]
    if not named or not folder.has(photo):
        return None
    try:
        picture = open_picture(folder.root / photo)
    except PictureError as error:
        folder.report(photo, error.found, error.expected, error.next_step)
        return None
    told = [one for mark in named if (one := _told(folder, mark)) is not None]
    lens = calibrated_lens(folder, picture)
    for one in (one for one in told if one.name == "card"):
        try:
            return _placed(_card(picture, lens), one)
        except PictureError as error:
            folder.report(photo, error.found, error.expected, error.next_step, one.mark.evidence.place)
    lines = [(one, line) for one in told if one.name != "card" and (line := _reference(folder, one)) is not None]
    return _by_lines(folder, picture, lines, lens) if lines else None


def standard_sizes() -> dict[str, dict[str, Any]]:
    """Name, size and tolerance in mm, source of things of standard size."""
    return _sizes()


@cache
def _sizes() -> dict[str, dict[str, Any]]:
    return tomllib.loads((files("partingline.readers.photos") / "sizes.toml").read_text(encoding="utf-8"))


def _told(folder: Folder, mark: Mark) -> _Told | None:
    words = mark.text[len(PREFIX) :].casefold().strip()
    height, tilt = _HEIGHT.search(words), _TILT.search(words)
    if tilt is not None and float(tilt.group(1)) > _MOST_TILT:
        expected = f"a tilt of at most {_MOST_TILT:g}°"
        folder.report(NAME, f"'{mark.text}' on {mark.photo}", expected, "Take the picture anew.", mark.evidence.place)
        return None
    above = parse_quantity(height.group(1), unit="m").value if height else 0.0
    sign = -1.0 if height and height.group(2) == "below" else 1.0
    name = _TILT.sub("", _HEIGHT.sub("", words)).strip(" ,;")
    return _Told(mark, name, sign * above, math.radians(float(tilt.group(1))) if tilt else None)


def _card(picture: Picture, lens: Lens | None) -> Scale:
    from partingline.readers.photos.markers import card_scale

    return card_scale(pixels(picture), focal_35mm=picture.focal_35mm, lens=lens)


def _reference(folder: Folder, told: _Told) -> Reference | None:
    name = told.name.replace(" ", "_").replace("-", "_")
    if name in standard_sizes():
        row = standard_sizes()[name]
        length, u = row["size"] * 1e-3, row["tolerance"] * 1e-3 / math.sqrt(3)
    else:
        try:
            read = parse_quantity(told.name.removesuffix("diameter").strip(), unit="m")
        except QuantityError as error:
            found = f"'{told.mark.text}' on {told.mark.photo}: {error}"
            folder.report(NAME, found, "a length or a standard size", _STEP, told.mark.evidence.place)
            return None
        length, u = read.value, read.u or 0.0
    return Reference(told.mark.points, length, u, told.mark.closed)


def _by_lines(
    folder: Folder, picture: Picture, lines: list[tuple[_Told, Reference]], lens: Lens | None
) -> Scale | None:
    first = lines[0][0]
    level = [(one, line) for one, line in lines if one.height == first.height]
    tilts = [one.tilt for one, _ in level if one.tilt is not None]
    size = (picture.width, picture.height)
    try:
        grey = np.asarray(pixels(picture).convert("L"))
    except PictureError as error:
        folder.report(first.mark.photo, error.found, error.expected, error.next_step)
        return None
    width = edge_width(grey, [(line.points, line.closed) for _, line in level])
    options: dict[str, Any] = {"focal_35mm": picture.focal_35mm, "tilt": max(tilts, default=None), "lens": lens}
    try:
        references = [line for _, line in level]
        scale = reference_scale(references, size, source=_source(level, lens), edge_width_px=width, **options)
        if len(references) > 1 and scale.strain > _DISAGREE + _MORE * (len(references) - 2):
            found = f"the scales on {first.mark.photo} do not agree: {_source(level, None)}"
            step = "Correct the lengths or the lines; until then the first one is taken."
            folder.report(NAME, found, "lines of known length in one plane", step, first.mark.evidence.place)
            own = _source(level[:1], lens)
            scale = reference_scale(references[:1], size, source=own, edge_width_px=width, **options)
    except ValueError as error:
        found = f"'{first.mark.text}' on {first.mark.photo}: {error}"
        folder.report(NAME, found, "a length or a standard size", _STEP, first.mark.evidence.place)
        return None
    return _placed(with_sharpness(scale, width), first)


def _source(level: list[tuple[_Told, Reference]], lens: Lens | None) -> str:
    names = ", ".join(one.name for one, _ in level)
    return f"{names}, lens by its calibration set" if lens else names


def _placed(scale: Scale, told: _Told) -> Scale:
    return replace(scale, reference_height=told.height)
