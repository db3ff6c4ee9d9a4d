"""Creepage and clearance in a cut through insulation: the figures of IEC 60664-1:2020, 6.8, as they are drawn there.

Creepage runs along the surfaces of solids and of uncemented joints; gaps narrower than X are bridged. Clearance is the
shortest way through air (`search`).
"""

import heapq
import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from partingline.calc.barrier.narrow import links, walls
from partingline.calc.barrier.search import Hub, Net, Sheet, reflex, shortest
from partingline.calc.barrier.types import PRIMARY, SECONDARY, Leg, Path, Section

Array = NDArray[np.float64]
Node = tuple[int, int] | str
_OFF = 0.3172
"""Keeps round numbers away from the border between two cells of the grid by which equal points are known."""


def section_clearance(section: Section, *, zero_below: float = 0.0) -> Path | None:
    """The shortest way through air past the solids; None where there is none.

    Gaps to floating metal shorter than `zero_below` count as nothing (IEC 62368-1:2018, annex O; 0 for IEC 60664-1).
    """
    solid = shapely.union_all([shapely.Polygon(ring) for ring in section.solids])
    metal = {net: shapely.union_all(shapes) for net, shapes in _metal(section).items()}
    everything = shapely.union_all([solid, *metal.values()])
    size = _size(everything)
    frame = shapely.box(*everything.bounds).buffer(size, join_style="mitre")
    air = Sheet.flat(frame.difference(solid), size * 1e-9)
    hubs = [Hub(net, 0, shape, 0.0) for net, shape in metal.items()]
    corners = reflex(frame.difference(solid))
    net = Net([air], hubs, np.column_stack([corners, np.zeros(len(corners))]), np.zeros(len(corners), dtype=int))
    return shortest(net, zero_below=zero_below)


def section_creepage(section: Section, *, bridged_width: float, zero_below: float = 0.0) -> Path | None:
    """The shortest way along surfaces, links shorter than `bridged_width` across gaps; None where there is none."""
    bodies = _bodies(section)
    metal = {net: shapely.union_all(shapes) for net, shapes in _metal(section).items()}
    everything = shapely.union_all([*bodies, *metal.values()])
    step = _size(everything) * 1e-9
    edges = np.concatenate([walls(body) for body in (*bodies, *metal.values())])
    cuts: list[list[Array]] = [[edge[0], edge[1]] for edge in edges]
    core = shapely.buffer(everything, -2 * step, join_style="mitre")
    shapely.prepare(core)
    graph: dict[Node, list[tuple[Node, float]]] = {}
    for first, second, p, q in links(edges, bridged_width):
        if not core.intersects(shapely.LineString([p, q])):
            cuts[first].append(p)
            cuts[second].append(q)
            _join(graph, _node(p, step), _node(q, step), math.dist(p, q))
    _contacts(edges, cuts, [*bodies, *metal.values()])
    _follow(graph, edges, cuts, metal, step)
    _float(graph, metal, zero_below)
    return _dijkstra(graph, step)


def _metal(section: Section) -> dict[str, list[BaseGeometry]]:
    found: dict[str, list[BaseGeometry]] = {}
    for one in section.conductors:
        found.setdefault(one.net, []).append(shapely.Polygon(one.outline))
    return found


def _bodies(section: Section) -> list[BaseGeometry]:
    """Bodies as they are after cementing."""
    groups = [{k} for k in range(len(section.solids))]
    for pair in section.cemented:
        joined = set().union(*(group for group in groups if group & set(pair)))
        groups = [group for group in groups if not group & joined] + [joined]
    return [shapely.union_all([shapely.Polygon(section.solids[k]) for k in sorted(group)]) for group in groups]


def _size(shape: BaseGeometry) -> float:
    x0, y0, x1, y1 = shape.bounds
    return math.hypot(x1 - x0, y1 - y0)


def _node(point: Array, step: float) -> Node:
    return round(float(point[0]) / (8 * step) + _OFF), round(float(point[1]) / (8 * step) + _OFF)


def _join(graph: dict[Node, list[tuple[Node, float]]], one: Node, other: Node, length: float) -> None:
    graph.setdefault(one, []).append((other, length))
    graph.setdefault(other, []).append((one, length))


def _contacts(edges: Array, cuts: list[list[Array]], shapes: list[BaseGeometry]) -> None:
    """Cut every edge where a corner of any shape touches it, or where it crosses another outline."""
    outlines = shapely.union_all([shape.boundary for shape in shapes])
    corners = shapely.get_coordinates(outlines)
    lines = shapely.linestrings(edges)
    for k, line in enumerate(lines):
        near = corners[shapely.distance(line, shapely.points(corners)) <= 1e-9 * (line.length + 1e-12)]
        cuts[k] += list(near)


def _follow(
    graph: dict[Node, list[tuple[Node, float]]],
    edges: Array,
    cuts: list[list[Array]],
    metal: dict[str, BaseGeometry],
    step: float,
) -> None:
    """Edges between the cuts; those on metal cost nothing, and lead to the metal's own node."""
    grown = {net: shapely.buffer(shape, 4 * step) for net, shape in metal.items()}
    for edge, points in zip(edges, cuts, strict=True):
        along = edge[1] - edge[0]
        ordered = sorted(points, key=lambda p: float((p - edge[0]) @ along))
        for p, q in pairwise(ordered):
            middle = shapely.Point((p + q) / 2)
            on = next((net for net, shape in grown.items() if shape.covers(middle)), None)
            _join(graph, _node(p, step), _node(q, step), 0.0 if on else math.dist(p, q))
            if on:
                _join(graph, _node(p, step), on, 0.0)
        for p in ordered:
            for net, shape in grown.items():
                if shape.covers(shapely.Point(p)):
                    _join(graph, _node(p, step), net, 0.0)


def _float(graph: dict[Node, list[tuple[Node, float]]], metal: dict[str, BaseGeometry], zero_below: float) -> None:
    """Small gaps from or to floating metal that count as nothing."""
    names = list(metal)
    for k, one in enumerate(names):
        for other in names[k + 1 :]:
            floating = not {one, other} <= {PRIMARY, SECONDARY}
            if floating and shapely.distance(metal[one], metal[other]) < zero_below:
                _join(graph, one, other, 0.0)


def _dijkstra(graph: dict[Node, list[tuple[Node, float]]], step: float) -> Path | None:
    heap: list[tuple[float, int, Node]] = [(0.0, 0, PRIMARY)]
    best: dict[Node, float] = {PRIMARY: 0.0}
    came: dict[Node, Node] = {}
    count, done = 0, set[Node]()
    while heap:
        length, _, here = heapq.heappop(heap)
        if here in done:
            continue
        done.add(here)
        if here == SECONDARY:
            return Path(length, tuple(_legs(came, best, step)))
        for there, more in graph.get(here, ()):
            if length + more < best.get(there, math.inf):
                best[there], came[there] = length + more, here
                count += 1
                heapq.heappush(heap, (length + more, count, there))
    return None


def _legs(came: dict[Node, Node], best: dict[Node, float], step: float) -> Iterator[Leg]:
    nodes: list[Node] = [SECONDARY]
    while nodes[-1] in came:
        nodes.append(came[nodes[-1]])
    nodes.reverse()
    for one, other in pairwise(nodes):
        ends = [
            ((n[0] - _OFF) * 8 * step, (n[1] - _OFF) * 8 * step, 0.0) for n in (one, other) if not isinstance(n, str)
        ]
        if len(ends) == 2:
            yield Leg((ends[0], ends[1]), best[other] - best[one])
