"""Two faces of one board laid over each other: the far face is seen mirrored. Metres.

From points that are the same on both (holes), by least squares (Umeyama, 1991, without scale); or from the board's
outline on both, by the closest points moved together (Besl and McKay, 1992) from starts all round.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from partingline.calc.barrier.types import Ring

Array = NDArray[np.float64]
_STARTS, _ROUNDS, _SAMPLES = 24, 40, 240
_APART = math.radians(10)


@dataclass(frozen=True)
class Laid:
    """How the far face lies on the near one: `turn` (2, 2) mirrors, `shift` (2,); `miss` is the root mean square left.

    `rival` is the miss of the next best way to lay it (infinite for matched points): near `miss`, the way is open.
    """

    turn: Array
    shift: Array
    miss: float
    rival: float = math.inf

    def over(self, points: Array) -> Array:
        """Points (n, 2) of the far face on the near one."""
        return np.asarray(points @ self.turn.T + self.shift)

    def under(self, points: Array) -> Array:
        """Points (n, 2) of the near face on the far one."""
        return np.asarray((points - self.shift) @ self.turn)


def laid_by_points(near: Sequence[tuple[float, float]], far: Sequence[tuple[float, float]]) -> Laid:
    """By points that are the same. ValueError for fewer than two."""
    if len(near) < 2 or len(near) != len(far):
        raise ValueError(f"{len(near)} and {len(far)} points: expected two or more that are the same on both faces")
    return _fitted(np.asarray(near, dtype=float), np.asarray(far, dtype=float))


def laid_by_outline(near: Ring, far: Ring) -> Laid:
    """By the board's outline on both faces."""
    goal = shapely.LinearRing(near)
    samples = _along(shapely.LinearRing(far))
    middle = shapely.get_coordinates(shapely.Polygon(near).centroid)[0]
    own = shapely.get_coordinates(shapely.Polygon(far).centroid)[0]
    found = []
    for k in range(_STARTS):
        angle = math.tau * k / _STARTS
        turn = np.array([[-math.cos(angle), math.sin(angle)], [math.sin(angle), math.cos(angle)]])
        found.append(_closest(goal, samples, Laid(turn, middle - turn @ own, math.inf)))
    found.sort(key=lambda one: one.miss)
    best = found[0]
    rivals = [one.miss for one in found if _angle(one.turn, best.turn) > _APART]
    return Laid(best.turn, best.shift, best.miss, min(rivals, default=math.inf))


def _closest(goal: shapely.LinearRing, samples: Array, laid: Laid) -> Laid:
    for _ in range(_ROUNDS):
        placed = shapely.points(laid.over(samples))
        feet = shapely.get_coordinates(shapely.line_interpolate_point(goal, shapely.line_locate_point(goal, placed)))
        after = _fitted(feet, samples)
        if abs(laid.miss - after.miss) < 1e-4 * after.miss:
            return after
        laid = after
    return laid


def _fitted(near: Array, far: Array) -> Laid:
    """The mirrored turn and shift that bring far points nearest to near ones."""
    middle, own = near.mean(axis=0), far.mean(axis=0)
    u, _, vt = np.linalg.svd((near - middle).T @ (far - own))
    turn = u @ np.diag([1.0, -np.sign(np.linalg.det(u @ vt))]) @ vt
    shift = middle - turn @ own
    left = far @ turn.T + shift - near
    return Laid(turn, shift, float(np.sqrt((left**2).sum(axis=1).mean())))


def _along(ring: shapely.LinearRing) -> Array:
    places = np.linspace(0, ring.length, _SAMPLES, endpoint=False)
    return np.asarray(shapely.get_coordinates(shapely.line_interpolate_point(ring, places)))


def _angle(one: Array, other: Array) -> float:
    turned = one @ other.T
    return abs(math.atan2(turned[1, 0], turned[0, 0]))
