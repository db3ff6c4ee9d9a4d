"""The shortest path from the primary to the secondary metal over sheets that are joined along seams: exact A*.

A sheet is a flat region in which a leg is straight. Nodes are the corners a taut path can bend at, points on seams, and
one hub for the metal of a net on a sheet, which costs nothing to cross. Whether a leg is clear is asked only when the
leg comes up as the shortest one left.
"""

import heapq
import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from partingline.calc.barrier.types import PRIMARY, SECONDARY, Leg, Path, Place

Array = NDArray[np.float64]
Clear = Callable[[Array, Array], bool]
Links = Callable[[int], tuple[NDArray[np.int_], Array, Clear | None]]
"""Where a seam leads from a point: other points, lengths, and a question whether the way is free."""
_STRIDE = 1.3


@dataclass(frozen=True)
class Sheet:
    """A flat region; `clear` tells whether the straight leg between two places (x, y, z) stays in it."""

    clear: Clear
    tolerance: float

    @classmethod
    def flat(cls, region: BaseGeometry, tolerance: float) -> "Sheet":
        """A region of the plane, entered up to `tolerance` beyond its edge."""
        grown = shapely.buffer(region, tolerance, join_style="mitre")
        shapely.prepare(grown)

        def clear(p: Array, q: Array) -> bool:
            if p[0] == q[0] and p[1] == q[1]:
                return bool(shapely.intersects_xy(grown, p[0], p[1]))
            return bool(shapely.contains_properly(grown, shapely.linestrings([p[:2], q[:2]])))

        return cls(clear, tolerance)


@dataclass(frozen=True)
class Hub:
    """The metal of one net on one sheet, at height `z`."""

    net: str
    sheet: int
    shape: BaseGeometry
    z: float

    @cached_property
    def edges(self) -> NDArray[np.object_]:
        """The edges of the outlines as line strings."""
        lines = []
        for part in shapely.get_parts(self.shape):
            for ring in (part.exterior, *part.interiors):
                points = shapely.get_coordinates(ring)
                lines.append(np.stack([points[:-1], points[1:]], axis=1))
        return np.asarray(shapely.linestrings(np.concatenate(lines)))

    @cached_property
    def tree(self) -> shapely.STRtree:
        """The edges by place."""
        return shapely.STRtree(self.edges)

    def reach(self, points: Array) -> Array:
        """Plan distance of points (n, 2) to the nearest edge."""
        if len(points) == 0:
            return np.empty(0)
        _, distance = self.tree.query_nearest(shapely.points(points), all_matches=False, return_distance=True)
        return np.asarray(distance, dtype=float)


@dataclass
class Net:
    """Sheets, metal, and points: `places` (n, 3) and the sheet of each. `links(k)` are the seams at point k."""

    sheets: list[Sheet]
    hubs: list[Hub]
    places: Array
    sheet_of: NDArray[np.int_]
    links: Links | None = None


def reflex(region: BaseGeometry) -> Array:
    """Corners (n, 2) of polygons at which a path inside them can bend: inner angle above 180 degrees."""
    found = [np.empty((0, 2))]
    for part in shapely.get_parts(region):
        if part.geom_type != "Polygon" or part.is_empty:
            continue
        oriented = shapely.orient_polygons(part)
        for ring in (oriented.exterior, *oriented.interiors):
            points = shapely.get_coordinates(ring)[:-1]
            before, after = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
            found.append(points[before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0] < 0])
    return np.concatenate(found)


@dataclass(frozen=True, slots=True)
class _Try:
    """A leg that may be tried: from a state to a state, both as numbers; `length` is a bound until `ends` are known."""

    before: int
    to: int
    so_far: float
    length: float
    ends: tuple[Place, ...] = ()
    counted: float = -1.0
    ask: Clear | None = None


class _Search:
    def __init__(self, net: Net, zero_below: float, most: float) -> None:
        self.net, self.zero_below, self.most = net, zero_below, most * (1 + 1e-9)
        self.count = len(net.hubs)
        self.heap: list[tuple[float, int, _Try]] = []
        self.done: dict[int, _Try] = {}
        self.pushed = 0
        points = net.places[:, :2]
        corners = [points, *(shapely.get_coordinates(hub.shape) for hub in net.hubs)]
        low, high = (
            np.min([c.min(axis=0) for c in corners if len(c)], 0),
            np.max([c.max(0) for c in corners if len(c)], 0),
        )
        self.size = float(math.dist(low, high))
        self.tiny = 1e-12 * self.size
        self.ahead_hub, self.ahead = self._bounds(points)

    def _bounds(self, points: Array) -> tuple[Array, Array]:
        """A lower bound of the way still to go, of hubs and of points; metal in between shortens it."""
        hubs, targets = self.net.hubs, [k for k, hub in enumerate(self.net.hubs) if hub.net == SECONDARY]
        if self.zero_below:
            return np.zeros(len(hubs)), np.zeros(len(points))
        boxes = np.array([hub.shape.bounds for hub in hubs])
        apart = np.hypot(
            np.maximum(0, np.maximum(boxes[:, None, 0] - boxes[None, :, 2], boxes[None, :, 0] - boxes[:, None, 2])),
            np.maximum(0, np.maximum(boxes[:, None, 1] - boxes[None, :, 3], boxes[None, :, 1] - boxes[:, None, 3])),
        )
        names = np.array([hub.net for hub in hubs])
        apart[names[:, None] == names[None]] = 0
        for k in range(len(hubs)):
            apart = np.minimum(apart, apart[:, k, None] + apart[None, k])
        ahead_hub = apart[:, targets].min(axis=1)
        ahead = np.min([hubs[k].reach(points) for k in targets], axis=0) if len(points) else np.empty(0)
        for k, hub in enumerate(hubs):
            if hub.net not in (PRIMARY, SECONDARY):
                x0, y0, x1, y1 = boxes[k]
                dx = np.maximum(0, np.maximum(x0 - points[:, 0], points[:, 0] - x1))
                dy = np.maximum(0, np.maximum(y0 - points[:, 1], points[:, 1] - y1))
                ahead = np.minimum(ahead, np.hypot(dx, dy) + ahead_hub[k])
        return ahead_hub, ahead

    def run(self) -> Path | None:
        for k, hub in enumerate(self.net.hubs):
            if hub.net == PRIMARY:
                self._push(_Try(-1, k, 0.0, 0.0, counted=0.0))
        while self.heap:
            one = heapq.heappop(self.heap)[2]
            if one.to in self.done or (one.counted < 0 and not self._settle(one)):
                continue
            if one.ask is not None and not one.ask(np.array(one.ends[0]), np.array(one.ends[-1])):
                continue
            self.done[one.to] = one
            if one.to < self.count and self.net.hubs[one.to].net == SECONDARY:
                return self._path(one)
            self._expand(one.to, one.so_far + max(one.counted, 0.0))
        return None

    def _push(self, one: _Try) -> None:
        ahead = self.ahead_hub[one.to] if one.to < self.count else self.ahead[one.to - self.count]
        self.pushed += 1
        bound = one.so_far + (one.counted if one.counted >= 0 else one.length) + float(ahead)
        if bound <= self.most:
            heapq.heappush(self.heap, (bound, self.pushed, one))

    def _expand(self, state: int, so_far: float) -> None:
        if state < self.count:
            self._from_hub(state, so_far)
            return
        k = state - self.count
        here, sheet = self.net.places[k], self.net.sheet_of[k]
        place = (float(here[0]), float(here[1]), float(here[2]))
        same = np.flatnonzero(self.net.sheet_of == sheet)
        lengths = np.sqrt(((self.net.places[same] - here) ** 2).sum(axis=1))
        clear = self.net.sheets[sheet].clear
        self._try_points(state, so_far, place, same, lengths, clear)
        if self.net.links is not None:
            self._try_points(state, so_far, place, *self.net.links(k))
        for h, hub in enumerate(self.net.hubs):
            if h not in self.done and hub.sheet == sheet:
                rise = float(here[2]) - hub.z
                self._push(_Try(state, h, so_far, math.hypot(float(hub.reach(here[None, :2])[0]), rise)))

    def _try_points(
        self, state: int, so_far: float, place: Place, points: NDArray[np.int_], lengths: Array, ask: Clear | None
    ) -> None:
        hopeful = so_far + lengths + self.ahead[points] <= self.most
        for to, length in zip(points[hopeful].tolist(), lengths[hopeful].tolist(), strict=True):
            if to + self.count not in self.done:
                x, y, z = self.net.places[to].tolist()
                self._push(_Try(state, to + self.count, so_far, length, (place, (x, y, z)), length, ask))

    def _from_hub(self, state: int, so_far: float) -> None:
        hub = self.net.hubs[state]
        same = np.flatnonzero(self.net.sheet_of == hub.sheet)
        lengths = np.hypot(hub.reach(self.net.places[same, :2]), self.net.places[same, 2] - hub.z)
        for to, length in zip(same.tolist(), lengths.tolist(), strict=True):
            if to + self.count not in self.done:
                self._push(_Try(state, to + self.count, so_far, length))
        for h, other in enumerate(self.net.hubs):
            if h in self.done or h == state:
                continue
            if other.net == hub.net:
                self._push(_Try(state, h, so_far, 0.0, counted=0.0))
            elif other.sheet == hub.sheet:
                few, many = sorted((hub, other), key=lambda one: len(one.edges))
                _, apart = many.tree.query_nearest(few.edges, all_matches=False, return_distance=True)
                length = float(apart.min())
                floating = not {hub.net, other.net} <= {PRIMARY, SECONDARY}
                free = floating and length < self.zero_below
                self._push(_Try(state, h, so_far, length, counted=0.0 if free else -1.0))

    def _settle(self, one: _Try) -> bool:
        """Find the shortest clear leg near the bound of a leg from or to metal. False where it has to wait."""
        high = one.length * _STRIDE + self.size * 1e-3
        for low, ends in self._candidates(one.before, one.to, high):
            if low < one.length - self.tiny:
                continue
            hub = self.net.hubs[one.before if one.before < self.count else one.to]
            if self.net.sheets[hub.sheet].clear(np.array(ends[0]), np.array(ends[1])):
                self._push(_Try(one.before, one.to, one.so_far, low, ends, low))
                return False
        if high < 4 * self.size:
            self._push(_Try(one.before, one.to, one.so_far, high))
        return False

    def _candidates(self, before: int, to: int, most: float) -> list[tuple[float, tuple[Place, Place]]]:
        """Straight legs up to a length between two pieces of metal or metal and a point, shortest first."""
        first, second = (self._shapes(k) for k in (before, to))
        swap = before >= self.count or (to < self.count and len(first[0]) > len(second[0]))
        if swap:
            first, second = second, first
        hub = self.net.hubs[to if swap else before]
        if before < self.count and to < self.count:
            hub = self.net.hubs[before if not swap else to]
        tree = hub.tree
        found, edges = tree.query(second[0], predicate="dwithin", distance=most)
        lines = shapely.shortest_line(hub.edges[edges], second[0][found])
        points = shapely.get_coordinates(lines).reshape(-1, 2, 2)
        lengths = np.hypot(np.hypot(*(points[:, 1] - points[:, 0]).T), second[1] - first[1])
        order = np.argsort(lengths, kind="stable")
        result = []
        for k in order.tolist():
            a = (float(points[k, 0, 0]), float(points[k, 0, 1]), first[1])
            b = (float(points[k, 1, 0]), float(points[k, 1, 1]), second[1])
            result.append((float(lengths[k]), (b, a) if swap else (a, b)))
        return result

    def _shapes(self, state: int) -> tuple[NDArray[np.object_], float]:
        if state < self.count:
            return self.net.hubs[state].edges, self.net.hubs[state].z
        x, y, z = self.net.places[state - self.count]
        return np.array([shapely.Point(x, y)]), float(z)

    def _path(self, last: _Try) -> Path:
        legs, one = [], last
        while one.before >= 0:
            if one.ends:
                legs.append(Leg(one.ends, one.counted))
            one = self.done[one.before]
        return Path(last.so_far + last.counted, tuple(reversed(legs)))


def shortest(net: Net, *, zero_below: float = 0.0, most: float = math.inf) -> Path | None:
    """The shortest path of a net; None where the sides are not joined, or one of them has no metal.

    A gap to floating metal shorter than `zero_below` counts as nothing. `most` is a length that is known to be reached.
    """
    if not {PRIMARY, SECONDARY} <= {hub.net for hub in net.hubs}:
        return None
    return _Search(net, zero_below, most).run()
