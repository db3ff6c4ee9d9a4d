"""Creepage and clearance on a board seen from above: both faces, slots, the edge, ribs and grooves.

Flat parts are searched exactly. Where a path passes over an edge, the crossing is found on points along it, which are
moved together until the length no longer changes: `_ROUNDS` times, each eight times closer.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from partingline.calc.barrier.air import air_sheet
from partingline.calc.barrier.narrow import bridged
from partingline.calc.barrier.search import Clear, Hub, Net, Sheet, reflex, shortest
from partingline.calc.barrier.types import BOTTOM, TOP, Board, Conductor, Path

Array = NDArray[np.float64]
_FIRST, _ROUNDS, _CLOSER = 160, 7, 8


@dataclass(frozen=True)
class _Seam:
    """A closed edge that joins two sheets. `air`: crossed through air, which the question answers; else on a wall."""

    ring: BaseGeometry
    sheets: tuple[int, int]
    heights: tuple[float, float]
    air: Clear | None = None


@dataclass
class _Scene:
    sheets: list[Sheet]
    regions: list[BaseGeometry]
    heights: list[float]
    seams: list[_Seam]
    corners: list[tuple[int, Array]]


def board_creepage(
    board: Board, conductors: Iterable[Conductor], *, bridged_width: float, zero_below: float = 0.0
) -> Path | None:
    """The shortest way along the surfaces of a board; None where there is none.

    Slots and grooves are bridged where they are narrower than `bridged_width`. Floating metal costs nothing; gaps to it
    shorter than `zero_below` neither. A groove that reaches the board's edge is followed from above only.
    """
    return _solve(_surface(board, bridged_width), board, tuple(conductors), zero_below)


def board_clearance(board: Board, conductors: Iterable[Conductor], *, zero_below: float = 0.0) -> Path | None:
    """The shortest way through air over, round and through a board; None where there is none.

    Ribs are passed over their top or round their ends, heights included. Grooves shorten nothing.
    """
    return _solve(_air(board), board, tuple(conductors), zero_below)


def _surface(board: Board, width: float) -> _Scene:
    outline, slots = shapely.Polygon(board.outline), shapely.union_all([shapely.Polygon(s) for s in board.slots])
    sheet = outline.difference(slots.difference(bridged(slots, width)))
    size = _size(sheet)
    scene = _Scene([], [], [], [], [])
    faces = {}
    for face, z, up in ((TOP, 0.0, 1.0), (BOTTOM, -board.thickness, -1.0)):
        own = [(shapely.Polygon(r.outline), r.height) for r in board.reliefs if r.face == face]
        shaped = [(shape if h > 0 else shape.difference(bridged(shape, width)), h) for shape, h in own]
        flat = sheet.difference(shapely.union_all([shape for shape, _ in shaped]))
        faces[face] = _add(scene, flat, z, size)
        for shape, height in shaped:
            inside = shape.intersection(sheet)
            floor = _add(scene, inside, z + up * height, size)
            for ring in _rings(inside):
                scene.seams.append(_Seam(ring, (faces[face], floor), (z, z + up * height)))
    for ring in _rings(sheet):
        scene.seams.append(_Seam(ring, (faces[TOP], faces[BOTTOM]), (0.0, -board.thickness)))
    return scene


def _add(scene: _Scene, region: BaseGeometry, height: float, size: float) -> int:
    scene.sheets.append(Sheet.flat(region, size * 1e-9))
    scene.regions.append(region)
    scene.heights.append(height)
    scene.corners.append((len(scene.sheets) - 1, _lifted(reflex(region), height)))
    return len(scene.sheets) - 1


def _air(board: Board) -> _Scene:
    sheet = shapely.Polygon(board.outline).difference(shapely.union_all([shapely.Polygon(s) for s in board.slots]))
    size = _size(sheet)
    scene = _Scene([], [], [0.0, -board.thickness], [], [])
    for k, (face, up) in enumerate(((TOP, 1.0), (BOTTOM, -1.0))):
        level = scene.heights[k]
        ribs = [(shapely.Polygon(r.outline), r.height) for r in board.reliefs if r.face == face and r.height > 0]
        scene.sheets.append(air_sheet(ribs, level, up, size * 1e-9))
        scene.regions.append(sheet)
        for shape, height in ribs:
            corners = np.concatenate([shapely.get_coordinates(ring)[:-1] for ring in _rings(shape)])
            scene.corners.append((k, _lifted(corners, level)))
            scene.seams += [_Seam(ring, (k, k), (level + up * height,) * 2) for ring in _rings(shape)]
    solid = shapely.buffer(sheet, -size * 1e-9, join_style="mitre")
    shapely.prepare(solid)

    def free(p: Array, q: Array) -> bool:
        same = p[0] == q[0] and p[1] == q[1]
        return same or not bool(shapely.intersects(solid, shapely.linestrings([p[:2], q[:2]])))

    scene.seams += [_Seam(ring, (0, 1), (0.0, -board.thickness), free) for ring in _rings(sheet)]
    return scene


def _solve(scene: _Scene, board: Board, conductors: tuple[Conductor, ...], zero_below: float) -> Path | None:
    hubs = _hubs(scene, conductors)
    faces = {hub.sheet for hub in hubs}
    simple = len(faces) == 1 and not any(relief.height for relief in board.reliefs)
    seams = [] if simple else scene.seams
    step = max((seam.ring.length for seam in seams), default=0.0) / _FIRST
    samples = [np.arange(0.0, seam.ring.length, step) if step else np.empty(0) for seam in seams]
    best: Path | None = None
    for _ in range(_ROUNDS if seams else 1):
        net, owner = _net(scene, seams, samples, hubs)
        path = shortest(net, zero_below=zero_below, most=best.length if best else math.inf)
        if path is None:
            return best
        gain = best.length - path.length if best else math.inf
        best = path
        if gain < 1e-9 * path.length and step < 1e-4 * path.length:
            break
        samples = _closer(samples, seams, owner, net, path, step)
        step /= _CLOSER
    return best


def _hubs(scene: _Scene, conductors: tuple[Conductor, ...]) -> list[Hub]:
    shapes: dict[tuple[str, int], list[BaseGeometry]] = {}
    for face in (TOP, BOTTOM):
        own = [one for one in conductors if one.face == face]
        if not own:
            continue
        sheet = 0 if face == TOP else _bottom(scene)
        outlines = shapely.make_valid(np.array([shapely.polygons(np.asarray(one.outline)) for one in own]))
        parts, owners = shapely.get_parts(shapely.intersection(outlines, scene.regions[sheet]), return_index=True)
        for part, k, area in zip(parts, owners, shapely.area(parts), strict=True):
            if part.geom_type == "Polygon" and area > 0:
                shapes.setdefault((own[k].net, sheet), []).append(part)
    return [
        Hub(net, sheet, shapely.multipolygons(parts), scene.heights[sheet]) for (net, sheet), parts in shapes.items()
    ]


def _bottom(scene: _Scene) -> int:
    """The sheet of the bottom face: the second of the seam at the board's edge, which is the last one."""
    return scene.seams[-1].sheets[1]


def _net(
    scene: _Scene, seams: list[_Seam], samples: list[Array], hubs: list[Hub]
) -> tuple[Net, dict[int, tuple[int, float]]]:
    """Points of corners and seams; and the seam and place along it of every point on one."""
    places, sheet_of = [c for _, c in scene.corners], [np.full(len(c), k) for k, c in scene.corners]
    start = sum(len(c) for c in places)
    owner: dict[int, tuple[int, float]] = {}
    groups: dict[int, tuple[_Seam, int, int, Array]] = {}
    for number, (seam, at) in enumerate(zip(seams, samples, strict=True)):
        plan = shapely.get_coordinates(shapely.line_interpolate_point(seam.ring, at))
        for side in range(1 if seam.sheets[0] == seam.sheets[1] else 2):
            places.append(_lifted(plan, seam.heights[side]))
            sheet_of.append(np.full(len(at), seam.sheets[side]))
            for k, s in enumerate(at.tolist()):
                owner[start + k] = number, s
                groups[start + k] = seam, side, k, at
            start += len(at)
    everything = np.concatenate([np.empty((0, 3)), *places])

    def links(point: int) -> tuple[NDArray[np.int_], Array, Clear | None]:
        group = groups.get(point)
        if group is None or group[0].sheets[0] == group[0].sheets[1]:
            return np.empty(0, dtype=int), np.empty(0), None
        return _links(point, group, everything)

    return Net(scene.sheets, hubs, everything, np.concatenate([np.empty(0), *sheet_of]).astype(int), links), owner


def _links(
    point: int, group: tuple[_Seam, int, int, Array], places: Array
) -> tuple[NDArray[np.int_], Array, Clear | None]:
    """Across the seam: through air from rim to rim; on a wall straight on its unrolled surface, or along the rim."""
    seam, side, own, at = group
    first = point - own
    other = first + (len(at) if side == 0 else -len(at))
    across = np.arange(other, other + len(at))
    rise = seam.heights[1] - seam.heights[0]
    if seam.air is not None:
        return across, np.hypot(np.hypot(*(places[across, :2] - places[point, :2]).T), rise), seam.air
    along = np.abs(at - at[own])
    along = np.minimum(along, seam.ring.length - along)
    rim = np.arange(first, first + len(at))
    return np.concatenate([across, rim]), np.concatenate([np.hypot(along, rise), along]), None


def _closer(
    samples: list[Array], seams: list[_Seam], owner: dict[int, tuple[int, float]], net: Net, path: Path, step: float
) -> list[Array]:
    """The samples with closer ones about the crossings of a path."""
    tree = shapely.STRtree(shapely.points(net.places)) if len(net.places) else None
    found = list(samples)
    for leg in path.legs:
        for place in (leg.points[0], leg.points[-1]):
            near = tree.query(shapely.Point(place), predicate="dwithin", distance=0.0) if tree else ()
            for point in near:
                if int(point) in owner:
                    number, s = owner[int(point)]
                    more = s + step / _CLOSER * np.arange(-_CLOSER, _CLOSER + 1)
                    found[number] = np.unique(np.concatenate([found[number], more % seams[number].ring.length]))
    return found


def _rings(region: BaseGeometry) -> list[BaseGeometry]:
    parts = [part for part in shapely.get_parts(region) if part.geom_type == "Polygon" and not part.is_empty]
    return [ring for part in parts for ring in (*part.interiors, part.exterior)]


def _lifted(points: Array, height: float) -> Array:
    return np.column_stack([points, np.full(len(points), height)])


def _size(region: BaseGeometry) -> float:
    x0, y0, x1, y1 = region.bounds
    return math.hypot(x1 - x0, y1 - y0)
