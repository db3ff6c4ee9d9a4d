"""The clearest of several places for a label.

What comes in: places that it might take, and what stands in the way. What goes out: one of the places.
"""

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from partingline.publish.figures.axes import Axes
from partingline.publish.figures.place import Box, Point

_NEAR = 2.0


def clear_place(candidates: list[Box], obstacles: list[Point], boxes: list[Box], axes: Axes) -> Box:
    """The candidate with the least in its way; the earlier one where two are equal."""
    points = np.array(obstacles, dtype=float).reshape(-1, 2)
    return min(candidates, key=lambda box: _cost(box, points, boxes, axes))


def dense(path: list[Point], step: float = 5.0) -> list[Point]:
    """The path with points no more than `step` apart."""
    filled = list(path[:1])
    for (x0, y0), (x1, y1) in pairwise(path):
        count = max(1, math.ceil(math.hypot(x1 - x0, y1 - y0) / step))
        filled += [(x0 + (x1 - x0) * n / count, y0 + (y1 - y0) * n / count) for n in range(1, count + 1)]
    return filled


def _cost(box: Box, points: NDArray[np.float64], boxes: list[Box], axes: Axes) -> float:
    outside = (
        box.y < axes.top - 16 or box.y + box.h > axes.bottom or box.x < axes.left or box.x + box.w > axes.right + 4
    )
    dx = np.maximum(np.maximum(box.x - points[:, 0], points[:, 0] - box.x - box.w), 0.0)
    dy = np.maximum(np.maximum(box.y - points[:, 1], points[:, 1] - box.y - box.h), 0.0)
    covered = int(np.count_nonzero(np.hypot(dx, dy) < _NEAR))
    return 1000.0 * outside + 200.0 * sum(box.overlaps(other, 1.0) for other in boxes) + covered
