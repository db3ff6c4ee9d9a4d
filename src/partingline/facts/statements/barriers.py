"""Clearance and creepage of a barrier from what was outlined on photos of a board: one face, or both laid together.

What comes in: marks of one barrier with the scale of their photo. What goes out: statements, and paths for the picture.
Words of outlines: primary, secondary, floating NAME, slot, board, groove 1 mm, rib 2 mm; 'other face' for what lies on
the far side, seen through the board; 'match NAME' for a hole or the like that is seen on photos of both faces.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from partingline.calc.surface_path import groove_width
from partingline.facts.assumed import assumed
from partingline.facts.statements.told_length import told_length
from partingline.model import Component, Evidence, Key, Number, Route, Statement
from partingline.readers.folder import Folder
from partingline.readers.photos import Mark
from partingline.readers.photos.marks import NAME
from partingline.readers.photos.scale import Scale

if TYPE_CHECKING:
    from partingline.calc.barrier import Board, Conductor, Laid, Path

Point = tuple[float, float]
_MATCH = "match "
_OPEN, _APART = 2.0, 0.1e-3
"""A way to lay the outlines is open where another one misses no more than so many times as much, and metres."""


@dataclass(frozen=True, slots=True)
class MeasuredPath:
    """A path as it lies on a photo, in pixels: the shortest that was found, or one that a person has drawn (`drawn`).

    `value` is its own length in metres.
    """

    key: Key
    photo: str
    points: tuple[Point, ...]
    value: Number
    drawn: bool = False


@dataclass(frozen=True, slots=True)
class Seen:
    """Outlines of a barrier on one photo, with its scale."""

    photo: str
    outlines: tuple[Mark, ...]
    scale: Scale


@dataclass(frozen=True)
class Far:
    """The far face, and how it lies on the near one."""

    seen: Seen
    laid: "Laid"


def pollution_degree(barrier: str, said: Iterable[Statement]) -> int:
    """What is said of a barrier's surroundings, by the best route; 2 where nothing is."""
    key = Key.of(barrier, "pollution_degree")
    told = sorted((s for s in said if s.key == key), key=lambda s: s.route.rank)
    value = next((s.value.value for s in told if isinstance(s.value, Number)), 2.0)
    return int(value) if value in (1.0, 2.0, 3.0) else 2


def board_thickness(barrier: str, said: Iterable[Statement]) -> Number:
    """What is said of a board's thickness, by the best route; without it, the built-in assumption."""
    key = Key.of(barrier, "board_thickness")
    told = sorted((s for s in (*said, *assumed([barrier])) if s.key == key), key=lambda s: s.route.rank)
    return next(s.value for s in told if isinstance(s.value, Number))


def far_face(folder: Folder, barrier: str, near: Seen, seen: Seen) -> Far | None:
    """How a second photo lies on the first: by what is marked 'match' on both, or by the board's outline on both.

    None, and a problem, where neither tells it.
    """
    from partingline.calc import barrier as calc

    matches = [{m.text.casefold(): _middle(m, one.scale) for m in one.outlines if _is_match(m)} for one in (near, seen)]
    common = sorted(matches[0].keys() & matches[1].keys())
    boards = [next((m for m in one.outlines if "board" in m.text.casefold()), None) for one in (near, seen)]
    if len(common) >= 2:
        laid = calc.laid_by_points([matches[0][name] for name in common], [matches[1][name] for name in common])
        return Far(seen, laid)
    found = "no way to lay the faces over each other"
    if boards[0] is not None and boards[1] is not None:
        rings = [_ring(mark, one.scale) for mark, one in zip(boards, (near, seen), strict=True) if mark is not None]
        laid = calc.laid_by_outline(rings[0], rings[1])
        if laid.rival > _OPEN * laid.miss + _APART:
            return Far(seen, laid)
        found = "an outline of the board that lies alike in more than one way"
    step = "Mark two or more holes on both photos as 'match 1', 'match 2'; until then each face stands alone."
    folder.report(NAME, f"{found}: {near.photo} and {seen.photo}", "marks that are the same on both faces", step)
    return None


def spacing(
    folder: Folder,
    barrier: str,
    outlines: Sequence[Mark],
    scale: Scale,
    pollution: int,
    *,
    thickness: Number | None = None,
    far: Far | None = None,
) -> Iterator[tuple[Statement, MeasuredPath]]:
    """Clearance and creepage between the outlines of both sides, `far` on the other face; nothing without both sides.

    Without `thickness` the board is as thick as is assumed of it.
    """
    everything = [*outlines, *(far.seen.outlines if far else ())]
    words = [mark.text.casefold() for mark in everything]
    if not (any("primary" in one for one in words) and any("secondary" in one for one in words)):
        return
    from partingline.calc import barrier as calc

    thick = thickness or board_thickness(barrier, ())
    board, conductors = _scene(outlines, scale, thick.value, far)
    clear = calc.board_clearance(board, conductors)
    x = float(groove_width(pollution_degree=pollution, clearance=clear.length if clear else None))
    creep = calc.board_creepage(board, conductors, bridged_width=x)
    for quantity, path in (("clearance", clear), ("creepage", creep)):
        if path is None:
            step = "Outline the board with the slots in it, or mark both sides on one board."
            folder.report(NAME, f"no {quantity} path across {barrier}", "a way from one side to the other", step)
            continue
        note = f"shortest path between {len(conductors)} outlines; scale from {scale.source}"
        if quantity == "creepage":
            note += f"; gaps below {x * 1e3:.2g} mm bridged"
        more: tuple[Component, ...] = ()
        if _folds(path):
            note += f"; over the edge of a board {thick.value * 1e3:.3g} mm thick"
            slope = _slope(quantity, outlines, scale, thick, far, x, path.length)
            more = tuple(Component(c.cause, slope * c.width, c.shape) for c in thick.components)
        if far is not None:
            note += f"; {far.seen.photo} laid over to {far.laid.miss * 1e3:.2g} mm"
            more = (*more, Component(f"faces:{barrier}", far.laid.miss))
        key = Key.of(barrier, quantity)
        yield _statement(key, path, scale, tuple(mark.evidence for mark in everything), note, more)


def on_far_face(path: MeasuredPath, scale: Scale, far: Far) -> MeasuredPath:
    """A path of the near photo as it lies on the far one."""
    plane = far.laid.under(scale.to_plane(path.points))
    pixels = tuple((float(x), float(y)) for x, y in far.seen.scale.to_pixels(plane))
    return MeasuredPath(path.key, far.seen.photo, pixels, path.value)


def drawn_paths(barrier: str, lines: Iterable[Mark], scale: Scale) -> Iterator[MeasuredPath]:
    """Paths that a person has drawn for a clearance or a creepage, measured as they lie."""
    for mark in lines:
        quantity = next((q for q in ("creepage", "clearance") if q in mark.text.casefold()), None)
        if quantity is not None and not mark.closed and len(mark.points) > 1:
            key, found = Key.of(barrier, quantity), scale.measure(mark.points)
            value = number_of(found.length, key, mark.photo, found.scale_u, found.pointing_u)
            yield MeasuredPath(key, mark.photo, mark.points, value, drawn=True)


def number_of(value: float, key: Key, photo: str, scale_u: float, own_u: float) -> Number:
    """One picture's scale is one cause; where the points were set is another."""
    return Number(value, (Component(f"scale:{photo}", scale_u), Component(f"pointing:{key.id}:{photo}", own_u)))


def _folds(path: "Path") -> bool:
    return len({z for leg in path.legs for _, _, z in leg.points}) > 1


def _slope(
    quantity: str, outlines: Sequence[Mark], scale: Scale, thick: Number, far: Far | None, x: float, length: float
) -> float:
    """Metres of path for a metre of thickness, by a board a little thicker."""
    from partingline.calc import barrier as calc

    more = max(thick.u, 0.01 * thick.value)
    board, conductors = _scene(outlines, scale, thick.value + more, far)
    clearance = quantity == "clearance"
    path = (
        calc.board_clearance(board, conductors)
        if clearance
        else calc.board_creepage(board, conductors, bridged_width=x)
    )
    return (path.length - length) / more if path else 0.0


def _is_match(mark: Mark) -> bool:
    return mark.text.casefold().startswith(_MATCH)


def _middle(mark: Mark, scale: Scale) -> Point:
    x, y = scale.to_plane(mark.points).mean(axis=0)
    return float(x), float(y)


def _ring(mark: Mark, scale: Scale, laid: "Laid | None" = None) -> tuple[Point, ...]:
    plane = scale.to_plane(mark.points)
    return tuple((float(x), float(y)) for x, y in (plane if laid is None else laid.over(plane)))


def _scene(
    outlines: Sequence[Mark], scale: Scale, thickness: float, far: Far | None
) -> "tuple[Board, tuple[Conductor, ...]]":
    """The board and its metal in metres. Without an outline of the board it ends nowhere near."""
    from partingline.calc.barrier import BOTTOM, PRIMARY, SECONDARY, TOP, Board, Conductor, Relief

    slots: list[tuple[Point, ...]] = []
    reliefs: list[Relief] = []
    conductors: list[Conductor] = []
    outline: tuple[Point, ...] | None = None
    shown = [(mark, _ring(mark, scale), False) for mark in outlines]
    if far is not None:
        shown += [(mark, _ring(mark, far.seen.scale, far.laid), True) for mark in far.seen.outlines]
    for number, (mark, ring, below) in enumerate(shown):
        words = mark.text.casefold()
        face = BOTTOM if ("other face" in words) != below else TOP
        if _is_match(mark):
            continue
        if "slot" in words:
            slots.append(ring)
        elif "groove" in words or "rib" in words.split():
            reliefs.append(Relief(ring, told_length(words) * (-1 if "groove" in words else 1), face))
        elif "board" in words:
            outline = outline or ring
        elif "floating" in words:
            conductors.append(Conductor(ring, words.partition("floating")[2].strip() or f"floating {number}", face))
        elif "primary" in words or "secondary" in words:
            conductors.append(Conductor(ring, PRIMARY if "primary" in words else SECONDARY, face))
    if outline is None:
        outline = _around([p for ring in (*slots, *(c.outline for c in conductors)) for p in ring])
    return Board(outline, tuple(slots), thickness, tuple(reliefs)), tuple(conductors)


def _around(points: Sequence[Point]) -> tuple[Point, ...]:
    """A rectangle far about points."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    away = max(max(xs) - min(xs), max(ys) - min(ys))
    x0, x1, y0, y1 = min(xs) - away, max(xs) + away, min(ys) - away, max(ys) + away
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def _statement(
    key: Key, path: "Path", scale: Scale, evidence: tuple[Evidence, ...], note: str, more: tuple[Component, ...]
) -> tuple[Statement, MeasuredPath]:
    pixels = tuple((float(x), float(y)) for x, y in scale.to_pixels(np.array(path.plan)))
    whole = scale.measure(pixels)
    flat = math.fsum(math.dist(a, b) for a, b in pairwise(path.plan))
    larger = whole.length / flat if flat else 1.0
    relative = larger * path.length / whole.length if flat else 0.0
    scale_u, height_u = relative * whole.scale_u, relative * whole.height_u
    own_u = math.hypot(whole.pointing_u, height_u)
    whole_number = number_of(larger * path.length, key, evidence[0].path, scale_u, own_u)
    number = Number(whole_number.value, (*whole_number.components, *more))
    statement = Statement(key, number, Route.PHOTOGRAPHED, evidence=evidence, note=note)
    return statement, MeasuredPath(key, evidence[0].path, pixels, number)
