"""Where a field on a grid lies above a level: its area and its border, by straight lines between the grid's points.

What comes in: values at the nodes of a grid. What goes out: polygons and lines in units of the grid (row, column).
"""

from collections import defaultdict
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Node = tuple[float, float]


def areas(field: Array, level: float) -> list[list[Node]]:
    """Polygons of (column, row) that cover what is at or above the level; cells with a NaN at a corner are left out.

    Whole cells side by side are one polygon.
    """
    low, high = _extent(field)
    found: list[list[Node]] = []
    for row, inside in enumerate(low >= level):
        edges = np.flatnonzero(np.diff(np.concatenate([[0], inside.astype(int), [0]]))).tolist()
        for first, last in zip(edges[::2], edges[1::2], strict=True):
            found.append([(first, row), (last, row), (last, row + 1), (first, row + 1)])
    for row, column in np.argwhere((low < level) & (high >= level)).tolist():
        found.append(_above(_corners(field, row, column), level))
    return found


def borders(field: Array, level: float) -> list[list[Node]]:
    """Lines of (column, row) along which the field is at the level, the longest first."""
    low, high = _extent(field)
    links: dict[Node, list[Node]] = defaultdict(list)
    for row, column in np.argwhere((low < level) & (high >= level)).tolist():
        crossed = list(_crossings(_corners(field, row, column), level))
        for one, other in zip(crossed[::2], crossed[1::2], strict=True):
            if one != other:
                links[one].append(other)
                links[other].append(one)
    lines = []
    while links:
        ends = [node for node, near in links.items() if len(near) == 1]
        lines.append(_walked(links, ends[0] if ends else next(iter(links))))
    return sorted((line for line in lines if len(line) > 1), key=len, reverse=True)


def _extent(field: Array) -> tuple[Array, Array]:
    """The least and the most at the corners of each cell; NaN where one corner is."""
    corners = np.stack([field[:-1, :-1], field[:-1, 1:], field[1:, 1:], field[1:, :-1]])
    return corners.min(axis=0), corners.max(axis=0)


def _walked(links: dict[Node, list[Node]], start: Node) -> list[Node]:
    line, here = [start], start
    while links.get(here):
        there = links[here].pop()
        links[there].remove(here)
        for node in (here, there):
            if not links[node]:
                del links[node]
        line.append(there)
        here = there
    links.pop(start, None)
    return line


def _corners(field: Array, row: int, column: int) -> list[tuple[Node, float]]:
    places = ((column, row), (column + 1, row), (column + 1, row + 1), (column, row + 1))
    return [((float(x), float(y)), float(field[y, x])) for x, y in places]


def _above(corners: list[tuple[Node, float]], level: float) -> list[Node]:
    piece: list[Node] = []
    for (place, value), (next_place, next_value) in zip(corners, corners[1:] + corners[:1], strict=True):
        if value >= level:
            piece.append(place)
        if (value >= level) != (next_value >= level):
            piece.append(_between(place, value, next_place, next_value, level))
    return piece


def _crossings(corners: list[tuple[Node, float]], level: float) -> Iterator[Node]:
    for (place, value), (next_place, next_value) in zip(corners, corners[1:] + corners[:1], strict=True):
        if (value >= level) != (next_value >= level):
            yield _between(place, value, next_place, next_value, level)


def _between(one: Node, a: float, other: Node, b: float, level: float) -> Node:
    """The same point from both sides, to the last bit, so that lines of neighbouring cells meet."""
    if (one, a) > (other, b):
        one, a, other, b = other, b, one, a
    share = (level - a) / (b - a)
    return round(one[0] + share * (other[0] - one[0]), 6), round(one[1] + share * (other[1] - one[1]), 6)
