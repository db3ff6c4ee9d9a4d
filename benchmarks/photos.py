"""Photos and spacing: a 24-megapixel photo opened and rectified, spacing of a board with 400 outlines and 20 slots.

Each beside the obvious alternative: a raster distance transform (0.05 mm a pixel), and all pairs by shapely.
"""

import math
import random
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
import shapely
from PIL import Image
from shapely import affinity

from partingline.calc.barrier import PRIMARY, SECONDARY, Board, Conductor, board_clearance, board_creepage
from partingline.readers.photos.opening import open_picture, pixels


def main() -> None:
    """Print every time, seconds."""
    board, metal = dense_board()
    _say("creepage, 400 outlines of 50 points, 20 slots", lambda: board_creepage(board, metal, bridged_width=1e-3))
    _say("clearance of the same", lambda: board_clearance(board, metal))
    _say("  alternative: all pairs by shapely (clearance only)", lambda: _all_pairs(metal))
    _say("  alternative: raster distance transform (clearance only)", lambda: _raster(metal))
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "photo.jpg"
        noise = np.random.default_rng(1).integers(0, 255, (500, 750, 3), dtype=np.uint8)
        Image.fromarray(noise).resize((6000, 4000)).save(path, quality=92)
        _say("24 MP opened and halved to tiles' levels", lambda: _levels(path))
        image = np.asarray(pixels(open_picture(path)))
        turn = cv2.getRotationMatrix2D((3000, 2000), 10, 1.0)
        matrix = np.vstack([turn, [1e-5, 0, 1]])
        _say("24 MP rectified", lambda: cv2.warpPerspective(image, matrix, (6000, 4000)))


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


def _raster(metal: list[Conductor], step: float = 0.05e-3) -> float:
    grid = np.full((1640, 2100), 255, np.uint8)
    mask = np.zeros_like(grid)
    for one in metal:
        corners = np.round(np.array(one.outline) / step).astype(np.int32)
        cv2.fillPoly(grid if one.net == PRIMARY else mask, [corners], 0 if one.net == PRIMARY else 1)
    away = cv2.distanceTransform(grid, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    return float(away[mask == 1].min() * step)


def _levels(path: Path) -> int:
    image = pixels(open_picture(path))
    count = 0
    while max(image.size) > 1:
        image = image.reduce(2) if min(image.size) > 1 else image.resize((1, 1))
        count += 1
    return count


def _say(what: str, job: Callable[[], object]) -> None:
    times = []
    for _ in range(3):
        start = time.perf_counter()
        result = job()
        times.append(time.perf_counter() - start)
    length = getattr(result, "length", result if isinstance(result, float) else None)
    print(f"{what:60} {min(times):7.3f} s" + (f"   {length * 1e3:.4f} mm" if length else ""))


if __name__ == "__main__":
    main()
