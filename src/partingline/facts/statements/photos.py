"""Statements by route 'photographed': lengths and insulation spacing measured on photos that have a scale.

What comes in: marks. What goes out: clearance and creepage of each barrier that has outlines of both sides, lengths of
lines named by a quantity, and the paths for the picture. Words of outlines on a barrier: primary, secondary, floating
NAME, slot, board, groove 1 mm, rib 2 mm; 'other face' for what lies on the far side, seen through the board.
"""

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from partingline.calc.surface_path import groove_width
from partingline.facts.memory import Memory
from partingline.model import Component, Evidence, Key, Number, Route, Statement
from partingline.readers.folder import Folder
from partingline.readers.photos import Mark
from partingline.readers.photos.marks import NAME
from partingline.readers.photos.scale import Scale
from partingline.readers.quantities import QuantityError, parse_quantity
from partingline.sources import quantities

if TYPE_CHECKING:
    from partingline.calc.barrier import Board, Conductor, Path

Point = tuple[float, float]
_LENGTH = re.compile(r"[\d.,]+\s*(?:mm|µm|um|cm|m)\b")
_THICK = 1.6e-3


@dataclass(frozen=True, slots=True)
class MeasuredPath:
    """A shortest path as it lies on a photo, in pixels."""

    key: Key
    photo: str
    points: tuple[Point, ...]


def photo_statements(
    folder: Folder, marks: Sequence[Mark], said: Sequence[Statement], memory: Memory
) -> tuple[list[Statement], tuple[MeasuredPath, ...]]:
    """Everything that the marks let one measure. `said` tells the pollution degree of a barrier; 2 without it."""
    statements: list[Statement] = []
    paths: list[MeasuredPath] = []
    if not any(mark.text.casefold().startswith("scale:") for mark in marks):
        return statements, ()
    for photo in sorted({mark.photo for mark in marks}):
        scale = scale_of(folder, photo, marks, memory)
        if scale is None:
            continue
        own = [mark for mark in marks if mark.photo == photo]
        statements += _lengths(own, scale)
        for barrier in sorted({mark.subject for mark in own if mark.subject.startswith("barrier:")}):
            outlines = [mark for mark in own if mark.subject == barrier and mark.closed]
            degree = pollution_degree(barrier, said)
            drawn = tuple((mark.text, mark.points, mark.evidence) for mark in outlines)
            measure = partial(_measured, folder, barrier, outlines, scale, degree)
            for statement, path in memory.reading(folder, (spacing, barrier, drawn, scale.identity, degree), measure):
                statements.append(statement)
                paths.append(path)
    return statements, tuple(paths)


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


def _measured(
    folder: Folder, barrier: str, outlines: Sequence[Mark], scale: Scale, degree: int
) -> tuple[tuple[Statement, MeasuredPath], ...]:
    return tuple(spacing(folder, barrier, outlines, scale, degree))


def pollution_degree(barrier: str, said: Iterable[Statement]) -> int:
    """What is said of a barrier's surroundings, by the best route; 2 where nothing is."""
    key = Key.of(barrier, "pollution_degree")
    told = sorted((s for s in said if s.key == key), key=lambda s: s.route.rank)
    value = next((s.value.value for s in told if isinstance(s.value, Number)), 2.0)
    return int(value) if value in (1.0, 2.0, 3.0) else 2


def _lengths(marks: Sequence[Mark], scale: Scale) -> Iterator[Statement]:
    """Lines whose words begin with a length of the glossary: `length`, `width 2 mm above the rule`."""
    known = {one.name.casefold(): id_ for id_, one in quantities().items() if one.unit == "m"}
    for mark in marks:
        first = mark.text.casefold().split()[:1]
        if mark.closed or not first or first[0] not in known or mark.subject.startswith("barrier:"):
            continue
        height = _told_length(mark.text)
        found = scale.measure(mark.points, height=height, height_u=0.1 * height)
        key = Key.of(mark.subject, known[first[0]])
        above = f", {height * 1e3:g} mm above the scale" if height else ""
        number = _number(found.length, key, mark.photo, found.scale_u, math.hypot(found.pointing_u, found.height_u))
        yield Statement(
            key, number, Route.PHOTOGRAPHED, evidence=(mark.evidence,), note=f"scale from {scale.source}{above}"
        )


def spacing(
    folder: Folder, barrier: str, outlines: Sequence[Mark], scale: Scale, pollution: int
) -> Iterator[tuple[Statement, MeasuredPath]]:
    """Clearance and creepage between the outlines of both sides on one photo; nothing where a side is missing."""
    words = [mark.text.casefold() for mark in outlines]
    if not (any("primary" in one for one in words) and any("secondary" in one for one in words)):
        return
    from partingline.calc import barrier as calc

    board, conductors = _scene(outlines, scale)
    evidence = tuple(mark.evidence for mark in outlines)
    clear = calc.board_clearance(board, conductors)
    x = float(groove_width(pollution_degree=pollution, clearance=clear.length if clear else None))
    creep = calc.board_creepage(board, conductors, bridged_width=x)
    for quantity, path in (("clearance", clear), ("creepage", creep)):
        if path is None:
            step = "Outline the board with the slots in it, or mark both sides on one board."
            folder.report(NAME, f"no {quantity} path across {barrier}", "a way from one side to the other", step)
        else:
            key = Key.of(barrier, quantity)
            note = f"shortest path between {len(conductors)} outlines; scale from {scale.source}"
            if quantity == "creepage":
                note += f"; gaps below {x * 1e3:.2g} mm bridged"
            yield _statement(key, path, scale, evidence, note)


def _scene(outlines: Sequence[Mark], scale: Scale) -> "tuple[Board, tuple[Conductor, ...]]":
    """The board and its metal in metres. Without an outline of the board it ends nowhere near."""
    from partingline.calc.barrier import BOTTOM, PRIMARY, SECONDARY, TOP, Board, Conductor, Relief

    slots: list[tuple[Point, ...]] = []
    reliefs: list[Relief] = []
    conductors: list[Conductor] = []
    outline: tuple[Point, ...] | None = None
    for number, mark in enumerate(outlines):
        ring = tuple((float(x), float(y)) for x, y in scale.to_plane(mark.points))
        words = mark.text.casefold()
        face = BOTTOM if "other face" in words else TOP
        if "slot" in words:
            slots.append(ring)
        elif "groove" in words or "rib" in words.split():
            reliefs.append(Relief(ring, _told_length(words) * (-1 if "groove" in words else 1), face))
        elif "board" in words:
            outline = ring
        elif "floating" in words:
            conductors.append(Conductor(ring, words.partition("floating")[2].strip() or f"floating {number}", face))
        elif "primary" in words or "secondary" in words:
            conductors.append(Conductor(ring, PRIMARY if "primary" in words else SECONDARY, face))
    if outline is None:
        points = [p for ring in (*slots, *(c.outline for c in conductors)) for p in ring]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        far = max(max(xs) - min(xs), max(ys) - min(ys))
        x0, x1, y0, y1 = min(xs) - far, max(xs) + far, min(ys) - far, max(ys) + far
        outline = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return Board(outline, tuple(slots), _THICK, tuple(reliefs)), tuple(conductors)


def _statement(
    key: Key, path: "Path", scale: Scale, evidence: tuple[Evidence, ...], note: str
) -> tuple[Statement, MeasuredPath]:
    pixels = tuple((float(x), float(y)) for x, y in scale.to_pixels(np.array(path.plan)))
    whole = scale.measure(pixels)
    flat = math.fsum(math.dist(a, b) for a, b in pairwise(path.plan))
    larger = whole.length / flat if flat else 1.0
    relative = larger * path.length / whole.length if flat else 0.0
    scale_u, height_u = relative * whole.scale_u, relative * whole.height_u
    own_u = math.hypot(whole.pointing_u, height_u)
    number = _number(larger * path.length, key, evidence[0].path, scale_u, own_u)
    statement = Statement(key, number, Route.PHOTOGRAPHED, evidence=evidence, note=note)
    return statement, MeasuredPath(key, evidence[0].path, pixels)


def _number(value: float, key: Key, photo: str, scale_u: float, own_u: float) -> Number:
    """One picture's scale is one cause; where the points were set is another."""
    return Number(value, (Component(f"scale:{photo}", scale_u), Component(f"pointing:{key.id}:{photo}", own_u)))


def _told_length(words: str) -> float:
    match = _LENGTH.search(words)
    if match is None:
        return 0.0
    try:
        return abs(parse_quantity(match.group(), unit="m").value)
    except QuantityError:
        return 0.0
