"""Where the insulation barrier's slot, pads and shortest surface route lie on the main board, from the truth."""

import math

from model.photos.canvas import Point
from model.truth import BARRIER

SLOT_X, SLOT_END = 24.5, 23.0  # mm: centre line, lowest point of the rounded end


def pad_corners() -> tuple[Point, Point]:
    """The two corners of copper that are nearest each other, primary first."""
    half, depth = BARRIER.clearance / 2, _depth()
    return (SLOT_X - half, SLOT_END - depth), (SLOT_X + half, SLOT_END - depth)


def pads() -> tuple[list[Point], list[Point]]:
    """Outlines of the primary and the secondary pad."""
    (px, py), (sx, sy) = pad_corners()
    primary = [(17.2, 14.8), (px - 0.3, 14.2), (px, py), (17.6, py + 0.85)]
    secondary = [(sx, sy), (sx + 0.32, 13.6), (31.6, 14.3), (31.3, sy + 0.75)]
    return primary, secondary


def slot() -> list[Point]:
    """Outline of the slot: open at the board's upper edge, its end round."""
    half = BARRIER.slot / 2
    turns = [math.pi * k / 24 for k in range(25)]
    around = [(SLOT_X + half * math.cos(t), SLOT_END - half + half * math.sin(t)) for t in turns]
    return [(SLOT_X - half, -0.3), (SLOT_X + half, -0.3), *around]


def route() -> list[Point]:
    """The shortest way over the surface: straight to the slot's round end, along it, straight to the other pad."""
    left, right = pad_corners()
    middle, radius = (SLOT_X, SLOT_END - BARRIER.slot / 2), BARRIER.slot / 2
    _, angle = _tangent(_depth())
    turns = [math.pi - angle + (2 * angle - math.pi) * k / 12 for k in range(13)]
    around = [(middle[0] + radius * math.cos(t), middle[1] + radius * math.sin(t)) for t in turns]
    return [left, *around, right]


def route_length(depth: float) -> float:
    """Length of that way for pads `depth` above the slot's end."""
    reach, angle = _tangent(depth)
    return 2 * reach + (math.pi - 2 * angle) * BARRIER.slot / 2


def _tangent(depth: float) -> tuple[float, float]:
    """Straight part from a pad to the round end, and the angle at which it touches, from the horizontal."""
    half, radius = BARRIER.clearance / 2, BARRIER.slot / 2
    below = depth - radius  # of the pad above the round end's centre
    distance = math.hypot(half, below)
    reach = math.sqrt(distance**2 - radius**2)
    return reach, math.acos(radius / distance) - math.atan2(below, half)


def _depth() -> float:
    """Depth at which the way is as long as the truth says: bisection, it grows with depth."""
    low, high = 0.0, 3.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if route_length(middle) < BARRIER.creepage else (low, middle)
    return (low + high) / 2
