"""Shapes in millimetres for the tests, handed over in metres."""

import math

from partingline.calc.barrier import Conductor, Path

MM = 1e-3
Ring = tuple[tuple[float, float], ...]


def ring(*points: tuple[float, float]) -> Ring:
    """A ring of points in millimetres."""
    return tuple((x * MM, y * MM) for x, y in points)


def box(x0: float, y0: float, x1: float, y1: float) -> Ring:
    """A rectangle in millimetres."""
    return ring((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def disc(x: float, y: float, radius: float, count: int = 48) -> Ring:
    """A circle as a polygon."""
    turns = (2 * math.pi * k / count for k in range(count))
    return ring(*((x + radius * math.cos(t), y + radius * math.sin(t)) for t in turns))


def metal(net: str, x0: float, y0: float, x1: float, y1: float, face: str = "top") -> Conductor:
    """A rectangle of bare metal."""
    return Conductor(box(x0, y0, x1, y1), net, face)


def mm(path: Path | None) -> float:
    """The length of a path that must be there, in millimetres."""
    assert path is not None
    return path.length / MM
