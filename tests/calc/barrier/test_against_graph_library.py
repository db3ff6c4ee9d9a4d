"""Shortest paths on random boards against a general graph library: a full visibility graph solved by networkx.

The independent side asks nothing of the code under test: nodes are all corners, legs are kept where shapely says that
the board covers them, and the least of all ways between all pairs of corners and feet is taken.
"""

import itertools
import math
import random

import networkx as nx
import pytest
import shapely
from shapely import affinity

from partingline.calc.barrier import PRIMARY, SECONDARY, Board, Conductor, board_creepage


def _random_board(seed: int) -> tuple[shapely.Polygon, list[shapely.Polygon], list[shapely.Polygon]]:
    """A board with slots that do not touch, and pads of both sides and floating ones, in millimetres."""
    dice = random.Random(seed)
    outline = shapely.Polygon(
        [(0, 0), (40, 0), (40, dice.uniform(18, 30)), (25, 30), (20, dice.uniform(12, 28)), (0, 30)]
    )
    slots: list[shapely.Polygon] = []
    for _ in range(40):
        shape = shapely.box(-dice.uniform(0.6, 1.2), -dice.uniform(2, 7), dice.uniform(0.6, 1.2), dice.uniform(2, 7))
        placed = affinity.translate(
            affinity.rotate(shape, dice.uniform(0, 180)), dice.uniform(8, 32), dice.uniform(3, 27)
        )
        if outline.contains(placed) and all(placed.distance(other) > 0.3 for other in slots):
            slots.append(placed)
    pads: list[shapely.Polygon] = []
    board = outline.difference(shapely.union_all(slots))
    for _ in range(300):
        x = dice.uniform(1, 10) if len(pads) < 3 else dice.uniform(30, 39) if len(pads) < 6 else dice.uniform(12, 28)
        corners = [(dice.uniform(-1.5, 1.5), dice.uniform(-1.5, 1.5)) for _ in range(6)]
        pad = affinity.translate(shapely.MultiPoint(corners).convex_hull, x, dice.uniform(2, 27))
        if board.contains(pad) and all(pad.distance(other) > 0.1 for other in pads) and len(pads) < 8:
            pads.append(pad)
    return outline, slots, pads


def _by_graph(board: shapely.geometry.base.BaseGeometry, pads: list[shapely.Polygon]) -> float:
    """Corner to corner by sight; pad to corner and pad to pad from every corner and foot on every edge."""
    reach = board.buffer(1e-7, join_style="mitre")
    corners = [shapely.Point(p) for p in shapely.get_coordinates(board)]
    graph: nx.Graph = nx.Graph()

    def try_leg(one: object, other: object, line: shapely.LineString) -> None:
        known = graph.get_edge_data(one, other, {"weight": math.inf})["weight"]
        if line.length < known and reach.covers(line):
            graph.add_edge(one, other, weight=line.length)

    for one, other in itertools.combinations(corners, 2):
        try_leg(one, other, shapely.LineString([one, other]))
    edges = [
        [shapely.LineString(pair) for pair in itertools.pairwise(shapely.get_coordinates(pad.exterior))] for pad in pads
    ]
    names = ["primary", "primary", "primary", "secondary", "secondary", "secondary", "F", "G"]
    for k, own in enumerate(edges):
        for edge, corner in itertools.product(own, corners):
            try_leg(names[k], corner, shapely.shortest_line(edge, corner))
        for m in range(k):
            if names[k] != names[m]:
                for edge, other in itertools.product(own, edges[m]):
                    try_leg(names[k], names[m], shapely.shortest_line(edge, other))
    return float(nx.dijkstra_path_length(graph, "primary", "secondary"))


def _compare(seed: int) -> None:
    outline, slots, pads = _random_board(seed)
    names = [PRIMARY] * 3 + [SECONDARY] * 3 + ["F", "G"]
    metal = [Conductor(tuple(pad.exterior.coords[:-1]), net) for pad, net in zip(pads, names, strict=False)]
    board = Board(tuple(outline.exterior.coords[:-1]), tuple(tuple(s.exterior.coords[:-1]) for s in slots))
    found = board_creepage(board, metal, bridged_width=0.0)
    assert found is not None
    assert found.length == pytest.approx(_by_graph(outline.difference(shapely.union_all(slots)), pads), abs=1e-5)
    assert found.length == pytest.approx(sum(leg.counted for leg in found.legs))


@pytest.mark.parametrize("seed", range(6))
def test_the_shortest_path_is_that_of_the_full_graph(seed: int) -> None:
    _compare(seed)


@pytest.mark.prove
@pytest.mark.timeout(1800)
def test_many_random_boards() -> None:
    for seed in range(100, 300):
        _compare(seed)
