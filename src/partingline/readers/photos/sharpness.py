"""How sharp a picture is where something was marked: the width of the edges there, 10 % to 90 %, in pixels."""

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Point = tuple[float, float]
_REACH = 14
_LEAST_CONTRAST = 25.0
"""Grey levels below which a step is no edge: noise and texture."""


def edge_width(grey: NDArray[np.uint8], shapes: Sequence[tuple[Sequence[Point], bool]]) -> float:
    """The median width in pixels of the edges that outlines (closed) lie on and that lines end at; 0 without any.

    `grey` is (height, width). A width is that of the steepest step within 14 pixels of the place.
    """
    found = [width for place, way in _places(shapes) if (width := _width(_profile(grey, place, way))) is not None]
    return float(np.median(found)) if found else 0.0


def _places(shapes: Sequence[tuple[Sequence[Point], bool]]) -> Iterator[tuple[Point, Point]]:
    """Places on edges, and the direction across the edge."""
    for points, closed in shapes:
        pairs = zip(points, [*points[1:], points[0]], strict=True) if closed else [(points[0], points[-1])]
        for (ax, ay), (bx, by) in pairs:
            length = math.dist((ax, ay), (bx, by))
            if length < 1:
                continue
            along = ((bx - ax) / length, (by - ay) / length)
            if closed:
                yield ((ax + bx) / 2, (ay + by) / 2), (-along[1], along[0])
            else:
                yield (ax, ay), along
                yield (bx, by), along


def _profile(grey: NDArray[np.uint8], place: Point, way: Point) -> Array:
    """Grey levels across a place, half a pixel apart (bilinear); empty outside the picture."""
    steps = np.arange(-_REACH, _REACH + 0.25, 0.5)
    x, y = place[0] + steps * way[0], place[1] + steps * way[1]
    high, wide = grey.shape
    if x.min() < 0 or y.min() < 0 or x.max() > wide - 2 or y.max() > high - 2:
        return np.empty(0)
    column, row = x.astype(int), y.astype(int)
    right, down = x - column, y - row
    corners = [grey[row + j, column + i].astype(float) for j in (0, 1) for i in (0, 1)]
    upper = corners[0] * (1 - right) + corners[1] * right
    return np.asarray(upper * (1 - down) + (corners[2] * (1 - right) + corners[3] * right) * down)


def _width(profile: Array) -> float | None:
    """Pixels from 10 % to 90 % of the steepest step; None where nothing is steep."""
    if len(profile) == 0:
        return None
    slope = np.diff(profile)
    top = int(np.argmax(np.abs(slope)))
    sign = 1.0 if slope[top] > 0 else -1.0
    low, high = top, top + 1
    while low > 0 and sign * slope[low - 1] > 0:
        low -= 1
    while high < len(profile) - 1 and sign * slope[high] > 0:
        high += 1
    step = sign * (profile[low : high + 1] - profile[low])
    if step[-1] < _LEAST_CONTRAST:
        return None
    first, last = np.interp([0.1, 0.9], step / step[-1], np.arange(len(step)))
    return float(last - first) / 2
