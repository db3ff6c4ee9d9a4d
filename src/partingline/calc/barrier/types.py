"""What an insulation barrier is made of, seen from above (a board) or cut through (a section), and a path found on it.

Metres throughout. Rings are simple polygons in any direction, first point not repeated.
"""

import math
from dataclasses import dataclass

Point = tuple[float, float]
Ring = tuple[Point, ...]
Place = tuple[float, float, float]

PRIMARY, SECONDARY, FLOATING = "primary", "secondary", "floating"
TOP, BOTTOM = "top", "bottom"


@dataclass(frozen=True, slots=True)
class Conductor:
    """An outline of bare metal. `net` is primary, secondary, or a name: what shares a name is connected.

    Any other name is a floating part, which a path crosses without length.
    """

    outline: Ring
    net: str
    face: str = TOP


@dataclass(frozen=True, slots=True)
class Relief:
    """A rib (`height` above the face) or a groove (negative: its depth) with upright walls, on one face."""

    outline: Ring
    height: float
    face: str = TOP


@dataclass(frozen=True, slots=True)
class Board:
    """A flat board: its outline, what is cut through it, its thickness, ribs and grooves."""

    outline: Ring
    slots: tuple[Ring, ...] = ()
    thickness: float = 1.6e-3
    reliefs: tuple[Relief, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A cut through insulation: solid bodies, and metal that touches them or stands in the air.

    Bodies that touch form an uncemented joint, along which a path may creep, unless `cemented` names their pair by
    place in `solids`.
    """

    solids: tuple[Ring, ...]
    conductors: tuple[Conductor, ...]
    cemented: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Leg:
    """A straight or wall-following piece of a path; `counted` is its part in the length (0 where it is bridged)."""

    points: tuple[Place, ...]
    counted: float


@dataclass(frozen=True, slots=True)
class Path:
    """A shortest path from the primary to the secondary side."""

    length: float
    legs: tuple[Leg, ...]

    @property
    def plan(self) -> Ring:
        """The path seen from above."""
        seen = [(x, y) for leg in self.legs for x, y, _ in leg.points]
        return tuple(p for k, p in enumerate(seen) if k == 0 or math.dist(p, seen[k - 1]) > 0)
