"""The steps of opening, as typed in `unit.toml`, each with its photo."""

import re

from partingline.model import OpeningStep, Region
from partingline.readers.folder import Folder
from partingline.readers.unitfile import ReadUnit

_PLACE = re.compile(r"#xywh=(?:pixel:)?([\d.]+),([\d.]+),([\d.]+),([\d.]+)$")
"""Media Fragments URI 1.0 (W3C Recommendation, 25 September 2012), 4.2.2."""


def opening_steps(read: ReadUnit, folder: Folder) -> tuple[OpeningStep, ...]:
    """Every step in order; a photo that is not there, or a place that cannot be read, is reported and left out."""
    return tuple(_step(read, folder, number) for number in range(len(read.data.opening)))


def _step(read: ReadUnit, folder: Folder, number: int) -> OpeningStep:
    told, place = read.data.opening[number], read.at("opening", number)
    photo, mark, fragment = told.photo.partition("#")
    found = _PLACE.match(f"#{fragment}") if mark else None
    if mark and found is None:
        expected, step = "photos/NAME#xywh=pixel:x,y,width,height", "Mend the place, or name the photo only."
        folder.report(place.path, f"'{told.photo}' names no place", expected, step, place.place, loses=False)
    photo = photo if photo and folder.pointed(photo, place) else ""
    region = Region(*(float(piece) for piece in found.groups())) if found and photo else None
    return OpeningStep(told.does, told.tool, told.takes, photo, region, place)
