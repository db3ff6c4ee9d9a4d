"""Statements by route 'photographed': lengths and insulation spacing measured on photos that have a scale.

What comes in: marks. What goes out: clearance and creepage of each barrier that has outlines of both sides
(`barriers`), lengths of lines named by a quantity, and the paths for the picture.
"""

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from partingline.facts.memory import Memory
from partingline.facts.statements.barriers import (
    Far,
    MeasuredPath,
    Seen,
    board_thickness,
    drawn_paths,
    far_face,
    number_of,
    on_far_face,
    pollution_degree,
    spacing,
)
from partingline.facts.statements.told_length import told_length
from partingline.model import Key, Number, Route, Statement
from partingline.readers.folder import Folder
from partingline.readers.photos import Mark
from partingline.readers.photos.scale import Scale
from partingline.sources import quantities

_Found = tuple[tuple[Statement, ...], tuple[MeasuredPath, ...]]


def photo_statements(
    folder: Folder, marks: Sequence[Mark], said: Sequence[Statement], memory: Memory
) -> tuple[list[Statement], tuple[MeasuredPath, ...]]:
    """Everything that the marks let one measure. `said` tells the pollution degree of a barrier (2 without it) and the
    thickness of its board (assumed without it)."""
    statements: list[Statement] = []
    paths: list[MeasuredPath] = []
    if not any(mark.text.casefold().startswith("scale:") for mark in marks):
        return statements, ()
    photos = sorted({mark.photo for mark in marks})
    scales = {photo: scale for photo in photos if (scale := scale_of(folder, photo, marks, memory)) is not None}
    for photo, scale in scales.items():
        statements += _lengths([mark for mark in marks if mark.photo == photo], scale)
    for barrier in sorted({mark.subject for mark in marks if mark.subject.startswith("barrier:")}):
        own = [mark for mark in marks if mark.subject == barrier]
        told, found = _across(folder, barrier, own, scales, said, memory)
        statements += told
        paths += found
    return statements, tuple(paths)


def _across(
    folder: Folder,
    barrier: str,
    marks: Sequence[Mark],
    scales: dict[str, Scale],
    said: Sequence[Statement],
    memory: Memory,
) -> _Found:
    """What the photos tell of one barrier: two photos are its two faces where they can be laid over each other."""
    faces = []
    paths: list[MeasuredPath] = []
    for photo, scale in scales.items():
        own = [mark for mark in marks if mark.photo == photo]
        paths += drawn_paths(barrier, own, scale)
        if outlines := tuple(mark for mark in own if mark.closed):
            faces.append(Seen(photo, outlines, scale))
    degree, thick = pollution_degree(barrier, said), board_thickness(barrier, said)
    drawn = tuple((mark.text, mark.points, mark.evidence) for one in faces for mark in one.outlines)
    key = (_across, barrier, drawn, tuple(one.scale.identity for one in faces), degree, thick)
    told, found = memory.reading(folder, key, partial(_measured, folder, barrier, faces, degree, thick))
    return told, (*paths, *found)


def _measured(folder: Folder, barrier: str, faces: Sequence[Seen], degree: int, thick: Number) -> _Found:
    far: Far | None = far_face(folder, barrier, *faces) if len(faces) == 2 else None
    statements: list[Statement] = []
    paths: list[MeasuredPath] = []
    for one in faces[:1] if far else faces:
        for told, path in spacing(folder, barrier, one.outlines, one.scale, degree, thickness=thick, far=far):
            statements.append(told)
            paths += [path, on_far_face(path, one.scale, far)] if far else [path]
    return tuple(statements), tuple(paths)


def scale_of(folder: Folder, photo: str, marks: Iterable[Mark], memory: Memory) -> Scale | None:
    """The scale that a photo's marks tell, looked for in the picture once; None without one."""
    from partingline.readers.photos.calibration import calibration_stamp
    from partingline.readers.photos.reference import PREFIX, photo_scale

    telling = [mark for mark in marks if mark.photo == photo and mark.text.casefold().startswith(PREFIX)]
    if not telling:
        return None
    told = tuple((mark.text, mark.points, mark.closed) for mark in telling)
    key = (scale_of, photo, folder.sha256(photo), told, calibration_stamp(folder))
    found: Scale | None = memory.reading(folder, key, partial(photo_scale, folder, photo, telling))
    return found


def _lengths(marks: Sequence[Mark], scale: Scale) -> Iterator[Statement]:
    """Lines whose words begin with a length of the glossary: `length`, `prong length`, `width 2 mm above the rule`."""
    for mark in marks:
        quantity = _named(mark.text)
        if mark.closed or not quantity or mark.subject.startswith("barrier:"):
            continue
        height = told_length(mark.text)
        found = scale.measure(mark.points, height=height, height_u=0.1 * height)
        key = Key.of(mark.subject, quantity)
        above = f", {height * 1e3:g} mm above the scale" if height else ""
        number = number_of(found.length, key, mark.photo, found.scale_u, math.hypot(found.pointing_u, found.height_u))
        yield Statement(
            key, number, Route.PHOTOGRAPHED, evidence=(mark.evidence,), note=f"scale from {scale.source}{above}"
        )


def _named(words: str) -> str:
    """The quantity in metres with whose name, or id, words begin; the longest one."""
    text = words.casefold().replace("_", " ")
    lengths = [(id_, one) for id_, one in quantities().items() if one.unit == "m"]
    names = [(name.casefold(), id_) for id_, one in lengths for name in (one.name, *one.names, id_.replace("_", " "))]
    fits = [(name, id_) for name, id_ in names if re.match(rf"{re.escape(name)}\b", text)]
    return max(fits, key=lambda one: len(one[0]), default=("", ""))[1]
