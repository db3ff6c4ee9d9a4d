"""Photos and spacing: a 24-megapixel photo opened and rectified, spacing of a board with 400 outlines and 20 slots.

Each beside the obvious alternatives, with what they are off by the exact path. All pairs by shapely gives the straight
gap alone: no slot, no way round, no second face. A raster gives an estimate that hangs on its pixel; the distance
transform knows no slot (clearance only), shortest ways on its grid (creepage) bend in steps of 45 degrees, so that
finer pixels do not make them right. Times are wall clock and processor, the best of three.
"""

import math
import random
import tempfile
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

import cv2
import numpy as np
import shapely
from numpy.typing import NDArray
from PIL import Image
from shapely import affinity

from partingline.calc.barrier import PRIMARY, SECONDARY, Board, Conductor, board_clearance, board_creepage
from partingline.readers.photos.camera import fit_camera
from partingline.readers.photos.opening import open_picture, pixels
from partingline.readers.photos.rectify import rectified
from partingline.readers.photos.scale import camera_scale

Ring = tuple[tuple[float, float], ...]


def main() -> None:
    """Print every time, seconds."""
    board, metal = dense_board()
    exact = board_creepage(board, metal, bridged_width=1e-3), board_clearance(board, metal)
    creepage, clearance = (path.length if path else math.nan for path in exact)
    _say("creepage, 400 outlines of 50 points, 20 slots", lambda: board_creepage(board, metal, bridged_width=1e-3))
    _say("clearance of the same", lambda: board_clearance(board, metal))
    _say("clearance: all pairs by shapely", lambda: _all_pairs(metal), clearance)
    _say("the same taken for creepage: it does not know the slots", lambda: _all_pairs(metal), creepage)
    for step in (0.1e-3, 0.05e-3, 0.02e-3, 0.01e-3):
        what = f"clearance: raster distance transform, {step * 1e3:g} mm a pixel"
        _say(what, partial(_raster, metal, step), clearance)
    for step in (0.2e-3, 0.1e-3):
        what = f"creepage: shortest way on a raster, {step * 1e3:g} mm a pixel"
        _say(what, partial(_raster_way, board, metal, step), creepage)
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "photo.jpg"
        noise = np.random.default_rng(1).integers(0, 255, (500, 750, 3), dtype=np.uint8)
        Image.fromarray(noise).resize((6000, 4000)).save(path, quality=92)
        _say("24 MP opened and halved to tiles' levels", lambda: _levels(path))
        image = pixels(open_picture(path))
        corners = np.array([(0.0, 0.0), (6000.0, 200.0), (5900.0, 3900.0), (150.0, 4000.0)])
        plane = np.array([(0.0, 0.0), (0.15, 0.0), (0.15, 0.1), (0.0, 0.1)])
        scale = camera_scale(fit_camera(plane, corners, image.size), relative_u=0.0)
        _say("24 MP rectified, perspective and lens", lambda: rectified(image, scale, 40.0))
        matrix = cv2.getPerspectiveTransform(corners.astype(np.float32), (plane * 4e4).astype(np.float32))
        data = np.asarray(image)
        _say(
            "  alternative: OpenCV's own warp, perspective alone",
            lambda: cv2.warpPerspective(data, matrix, (6000, 4000)),
        )


def dense_board() -> tuple[Board, list[Conductor]]:
    """100 by 80 mm, 20 by 20 pads of 50 corners, slots between the middle columns; the same every time."""
    dice = random.Random(4)
    metal = []
    for column in range(20):
        for row in range(20):
            x, y = 3 + 4.8 * column + (3 if column > 9 else 0), 3 + 3.9 * row
            radii = [dice.uniform(1.2, 1.7) for _ in range(50)]
            ring = tuple(
                ((x + r * math.cos(k * math.tau / 50)) * 1e-3, (y + r * math.sin(k * math.tau / 50)) * 1e-3)
                for k, r in enumerate(radii)
            )
            metal.append(Conductor(ring, PRIMARY if column < 10 else SECONDARY))
    slots = []
    for k in range(20):
        slot = affinity.translate(shapely.box(-0.6, -1.75, 0.6, 1.75), 50.2, 2 + 4 * k)
        slots.append(tuple((x * 1e-3, y * 1e-3) for x, y in slot.exterior.coords[:-1]))
    return Board(((0, 0), (0.105, 0), (0.105, 0.082), (0, 0.082)), tuple(slots)), metal


def _all_pairs(metal: list[Conductor]) -> float:
    sides = [[shapely.Polygon(c.outline) for c in metal if c.net == net] for net in (PRIMARY, SECONDARY)]
    return float(np.min(shapely.distance(np.array(sides[0])[:, None], np.array(sides[1])[None])))


def _filled(shapes: Sequence[Ring], step: float) -> NDArray[np.uint8]:
    """1 where any of the rings is, on a grid over the board."""
    grid = np.zeros((round(0.082 / step), round(0.105 / step)), np.uint8)
    for ring in shapes:
        cv2.fillPoly(grid, [np.round(np.array(ring) / step).astype(np.int32)], 1)
    return grid


def _raster(metal: list[Conductor], step: float) -> float:
    primary, secondary = (_filled([c.outline for c in metal if c.net == net], step) for net in (PRIMARY, SECONDARY))
    away = cv2.distanceTransform(1 - primary, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    return float(away[secondary == 1].min() * step)


def _raster_way(board: Board, metal: list[Conductor], step: float) -> float:
    """Dijkstra over pixels and their eight neighbours (scipy), slots left out."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import dijkstra

    free = _filled(board.slots, step) == 0
    number = np.arange(free.size).reshape(free.shape)
    ends: list[tuple[NDArray[np.int_], NDArray[np.int_], float]] = []
    for dy, dx, long in ((0, 1, 1.0), (1, 0, 1.0), (1, 1, math.sqrt(2)), (1, -1, math.sqrt(2))):
        rows, columns = (slice(0, free.shape[0] - dy), slice(dy, None)), slice(max(0, -dx), free.shape[1] - max(0, dx))
        there = slice(max(0, dx), free.shape[1] + min(0, dx))
        one, other = number[rows[0], columns], number[rows[1], there]
        both = free[rows[0], columns] & free[rows[1], there]
        ends.append((one[both], other[both], long))
    first, second = (np.concatenate([pair[k] for pair in ends]) for k in (0, 1))
    lengths = np.concatenate([np.full(len(one), long) for one, _, long in ends])
    graph = coo_array((lengths, (first, second)), shape=(free.size, free.size)).tocsr()
    sides = [_filled([c.outline for c in metal if c.net == net], step) for net in (PRIMARY, SECONDARY)]
    starts = number[(sides[0] == 1) & free]
    away = dijkstra(graph, directed=False, indices=starts, min_only=True)
    return float(away[number[(sides[1] == 1) & free]].min() * step)


def _levels(path: Path) -> int:
    image = pixels(open_picture(path))
    count = 0
    while max(image.size) > 1:
        image = image.reduce(2) if min(image.size) > 1 else image.resize((1, 1))
        count += 1
    return count


def _say(what: str, job: Callable[[], object], exact: float | None = None) -> None:
    times = []
    for _ in range(3):
        start, busy = time.perf_counter(), time.process_time()
        result = job()
        times.append((time.perf_counter() - start, time.process_time() - busy))
    length = getattr(result, "length", result if isinstance(result, float) else None)
    wall, busy = (min(column) for column in zip(*times, strict=True))
    told = f"   {length * 1e3:.4f} mm" if length else ""
    off = f"   off by {(length - exact) * 1e3:+.4f} mm" if length and exact else ""
    print(f"{what:62} {wall:7.3f} s {busy:7.3f} s{told}{off}")


if __name__ == "__main__":
    main()
