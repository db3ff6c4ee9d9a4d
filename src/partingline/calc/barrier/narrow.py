"""Where a gap is narrower than X and therefore bridged (IEC 60664-1:2020, 6.8: examples 1, 3, 5, 7 and 10).

A gap lies between two walls that face each other at an inner angle below `CORNER`; a wider corner is followed. The
angle is that of IEC 60950-1, figure F.3, and of the household rules (80 degrees): from memory.
"""

import math
from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Array = NDArray[np.float64]
CORNER = math.radians(80)
_STRICT = 1 - 1e-9
"""A gap of exactly X is not bridged; a link in a V groove may come as near to X as one likes."""


def walls(region: BaseGeometry) -> Array:
    """Edges of polygons, shape (n, 2, 2), with the inside of the polygon on their left."""
    parts = [part for part in shapely.get_parts(region) if part.geom_type == "Polygon" and not part.is_empty]
    edges = []
    for part in shapely.orient_polygons(parts) if parts else ():
        for ring in (part.exterior, *part.interiors):
            points = shapely.get_coordinates(ring)
            edges.append(np.stack([points[:-1], points[1:]], axis=1))
    found = np.concatenate(edges) if edges else np.empty((0, 2, 2))
    return np.asarray(found[np.hypot(*(found[:, 1] - found[:, 0]).T) > 0], dtype=float)


def bridged(gaps: BaseGeometry, width: float) -> BaseGeometry:
    """The parts of air gaps (slots, grooves: polygons) that are narrower than `width`.

    A gap in which no circle of that width fits is bridged as a whole. Of the others the parts between straight facing
    walls at least half as long as `width` are: a V or a taper. The round end of a slot that is wide enough is followed.
    """
    kept = [shapely.Polygon()]
    for gap in shapely.get_parts(gaps):
        if shapely.buffer(gap, -0.5 * width * (1 - 1e-4), join_style="mitre").is_empty:
            kept.append(gap)
            continue
        edges = walls(gap)
        edges = edges[np.hypot(*(edges[:, 1] - edges[:, 0]).T) >= width / 2]
        found = (_between(edges[i], edges[j], width * _STRICT) for i, j in _facing(edges, -1.0, width))
        kept += [shapely.intersection(piece, gap) for piece in found if piece is not None]
    return shapely.union_all(kept)


def links(edges: Array, width: float) -> Iterator[tuple[int, int, Array, Array]]:
    """Links across gaps that can be part of a shortest path: the two walls and the two ends.

    `edges` have the solid on their left. Every link is shorter than `width`; whether it lies in air is not asked.
    """
    width *= _STRICT
    for first, second in _facing(edges, 1.0, width):
        for p, q in _ends(edges[first], edges[second], width):
            if math.dist(p, q) <= width * (1 + 1e-12):
                yield first, second, p, q


def _facing(edges: Array, air: float, width: float) -> Iterator[tuple[int, int]]:
    """Pairs of edges whose air sides face each other; `air` is 1 with the solid on the left, -1 with the air there."""
    if len(edges) == 0:
        return
    along = edges[:, 1] - edges[:, 0]
    normal = air * np.stack([along[:, 1], -along[:, 0]], axis=1) / np.hypot(along[:, 0], along[:, 1])[:, None]
    against = normal @ normal.T < -math.cos(CORNER)
    low, high = edges.min(axis=1), edges.max(axis=1)
    near = np.all((low[:, None] <= high[None] + width) & (low[None] <= high[:, None] + width), axis=2)
    ahead = np.zeros_like(against)
    for k in (0, 1):
        for m in (0, 1):
            across = edges[None, :, m] - edges[:, None, k]
            ahead |= (across * normal[:, None]).sum(axis=2) > -1e-12
    for i, j in np.argwhere(np.triu(against & near & ahead & ahead.T, 1)):
        yield int(i), int(j)


def _between(one: Array, other: Array, width: float) -> BaseGeometry | None:
    """The region that links square to the bisector of two facing edges sweep where they are shorter than `width`."""
    a, b = one[1] - one[0], other[0] - other[1]
    axis = a / math.hypot(*a) + b / math.hypot(*b)
    axis /= math.hypot(*axis)
    spans = [sorted((edge @ axis).tolist()) for edge in (one, other)]
    low, high = max(s[0] for s in spans), min(s[1] for s in spans)
    if high <= low:
        return None

    def at(edge: Array, s: float) -> Array:
        ends = edge @ axis
        return np.asarray(edge[0] + (edge[1] - edge[0]) * (s - ends[0]) / (ends[1] - ends[0]))

    gaps = [math.dist(at(one, s), at(other, s)) for s in (low, high)]
    if min(gaps) >= width:
        return None
    if max(gaps) > width:
        cut = low + (high - low) * (width - gaps[0]) / (gaps[1] - gaps[0])
        low, high = (low, cut) if gaps[0] < width else (cut, high)
    corners = [at(one, low), at(one, high), at(other, high), at(other, low)]
    shape = shapely.Polygon(corners)
    return shape.buffer(0) if shape.is_valid else shapely.MultiPoint(corners).convex_hull


def _ends(one: Array, other: Array, width: float) -> Iterator[tuple[Array, Array]]:
    """Ends of links: corner to corner, corner to wall square or at `width`, and the link of a V at `width`."""
    for p in one:
        for q in other:
            yield p, q
    for k in (0, 1):
        for q in _on(other, one[k], width):
            yield one[k], q
        for p in _on(one, other[k], width):
            yield p, other[k]
    a, b = one[1] - one[0], other[1] - other[0]
    cross = a[0] * b[1] - a[1] * b[0]
    if abs(cross) < 1e-12 * math.hypot(*a) * math.hypot(*b):
        return
    gap = other[0] - one[0]
    apex = one[0] + a * (gap[0] * b[1] - gap[1] * b[0]) / cross
    away = [max(edge, key=lambda end: math.dist(end, apex)) - apex for edge in (one, other)]
    ways = [way / math.hypot(*way) for way in away]
    half = math.sqrt(max(0.0, (1 - float(ways[0] @ ways[1])) / 2))
    reach = width / (2 * half) if half else math.inf
    p, q = apex + ways[0] * reach, apex + ways[1] * reach
    if _inside(one, p) and _inside(other, q):
        yield p, q


def _on(edge: Array, point: Array, width: float) -> Iterator[Array]:
    """Points of an edge square to a point, and at `width` from it."""
    along = edge[1] - edge[0]
    length = math.hypot(*along)
    way = along / length
    foot = float((point - edge[0]) @ way)
    height = math.dist(edge[0] + way * foot, point)
    if height > width:
        return
    reach = math.sqrt(width * width - height * height)
    for s in (foot, foot - reach, foot + reach):
        if 0 <= s <= length:
            yield edge[0] + way * s


def _inside(edge: Array, point: Array) -> bool:
    along = edge[1] - edge[0]
    s = float((point - edge[0]) @ along) / float(along @ along)
    return 0 <= s <= 1
