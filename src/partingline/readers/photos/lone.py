"""A scale from lines or circles of known size: all cameras that could have taken the picture so, and the likeliest.

A lone line tells nothing of tilt and lens: what is possible before stays possible. The outline of a circle tells the
tilt, but not to which side; several lines tell it where they are not parallel. The draws are moved from what is
possible before to what the references leave by tempering (Del Moral, Doucet and Jasra, 2006, sequential Monte Carlo
samplers).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from partingline.readers.photos.camera import Camera, Lens, frame, to_plane_many
from partingline.readers.photos.scale import Point, Scale, focal_px, pointing_of

Array = NDArray[np.float64]
TILT = math.radians(5.0)
"""Half-width of the tilt of a picture that was taken square by eye: common practice, no source."""
FREE_TILT = math.radians(45.0)
"""Half-width where the references tell the tilt."""
_LENS = Lens(0.0, 0.0, 0.05, 0.02)
_DRAWS, _STEPS = 600, 6
_ROUND = 8
"""Points from which on an outline tells how round it is."""


@dataclass(frozen=True, slots=True)
class Reference:
    """A line, or the outline of a circle (`closed`), and its length or diameter in metres with standard uncertainty."""

    points: tuple[Point, ...]
    length: float
    length_u: float = 0.0
    closed: bool = False


def reference_scale(
    references: Sequence[Reference],
    size: tuple[int, int],
    *,
    focal_35mm: float = 0.0,
    tilt: float | None = None,
    lens: Lens | None = None,
    source: str = "ruler",
    edge_width_px: float = 0.0,
) -> Scale:
    """A scale from references in one plane. ValueError for a line without length.

    `tilt` is the half-width in radians; without it, what the references tell, or `TILT` where they tell nothing.
    `edge_width_px` is that of the edges on which the references end.
    """
    for one in references:
        span = _span(one) if one.points else 0.0
        if span < 2 or one.length <= 0:
            raise ValueError(f"a line of {span:.1f} pixels for {one.length * 1e3:g} mm: expected two points apart")
    telling = any(one.closed and len(one.points) >= _ROUND for one in references)
    most = tilt if tilt is not None else FREE_TILT if telling else TILT
    guess = _Guess(references, size, focal_px(size, focal_35mm), lens or _LENS, most, pointing_of(edge_width_px))
    states = guess.drawn()
    fits, scales = guess.told(states)
    best = int(np.argmax(fits - 0.5 * guess.unlikely(states)))
    draws = guess.parameters(states, scales)
    nominal = states[best : best + 1] * [1, 1, 1, 1, 1, 0] if guess.telling else np.zeros((1, states.shape[1]))
    parameters = guess.parameters(nominal, guess.told(nominal)[1])[0]
    camera = Camera(parameters, np.cov(draws.T), 0.0, size, 1.0)
    strain = float(-2 * fits[best] + (states[best, 2:5] ** 2).sum()) if guess.telling else 0.0
    return Scale(source, camera, draws, scales, guess.pointing_px, strain=strain)


@dataclass(frozen=True)
class _Guess:
    """States (m, 6): tilt as a vector over its half-width; k1, k2, the focal length, and what the references' sizes are
    off, as standard normals."""

    references: Sequence[Reference]
    size: tuple[int, int]
    focal: tuple[float, float]
    lens: Lens
    tilt: float
    pointing_px: float

    @property
    def telling(self) -> bool:
        """Whether the references say anything of tilt and lens: one line does not."""
        return len(self.references) > 1 or any(one.closed and len(one.points) >= _ROUND for one in self.references)

    def drawn(self) -> Array:
        """Draws of what the references leave possible."""
        dice = np.random.default_rng(2)
        radius, way = dice.uniform(0, 1, _DRAWS), dice.uniform(0, math.tau, _DRAWS)
        rest = dice.standard_normal((_DRAWS, 4))
        states = np.column_stack([radius * np.cos(way), radius * np.sin(way), rest])
        fits = self.told(states)[0]
        heat = 0.0
        while self.telling and heat < 1:
            heat, weights = _warmer(fits, heat)
            chosen = dice.choice(len(states), len(states), p=weights)
            states, fits = states[chosen], fits[chosen]
            spread = np.linalg.cholesky(np.cov(states.T) + 1e-12 * np.eye(states.shape[1]))
            for k in range(_STEPS):
                reach = 2.38 / math.sqrt(states.shape[1]) * 0.6**k
                moved = states + reach * dice.standard_normal(states.shape) @ spread.T
                there = self.told(moved)[0]
                gain = heat * (there - fits) - 0.5 * (self.unlikely(moved) - self.unlikely(states))
                taken = np.log(dice.uniform(size=len(states))) < gain
                states, fits = np.where(taken[:, None], moved, states), np.where(taken, there, fits)
        return states

    def unlikely(self, states: Array) -> Array:
        """-2 log of the density before any reference is seen: tilt uniform in size and direction, the rest normal."""
        radius = np.hypot(states[:, 0], states[:, 1])
        tilted = np.where(radius <= 1, 2 * np.log(np.maximum(radius, 1e-3)), np.inf)
        return np.asarray(tilted + (states[:, 2:] ** 2).sum(axis=1))

    def told(self, states: Array) -> tuple[Array, Array]:
        """Log likelihood of the references (m,), and the camera's height (m,) in metres that they give.

        On a plane one camera height away each reference has a size; the heights that they give are weighted together.
        """
        unit = self.parameters(states, np.ones(len(states)))
        fit, logs, weights = np.zeros(len(states)), [], []
        for one in self.references:
            plane = to_plane_many(unit, np.asarray(one.points, dtype=float), self.size, 1.0)
            measured, misses = _size(one, plane)
            own = self.pointing_px / (self.focal[0] * np.exp(self.focal[1] * states[:, 4]))
            fit -= 0.5 * (misses**2).sum(axis=1) / own**2
            logs.append(np.log(one.length / measured))
            weights.append(1 / ((one.length_u / one.length) ** 2 + _pointed(one, self.pointing_px) ** 2))
        found, weight = np.array(logs), np.array(weights)[:, None]
        mean = (weight * found).sum(axis=0) / weight.sum()
        fit -= 0.5 * (weight * (found - mean) ** 2).sum(axis=0)
        return fit, np.exp(mean + states[:, 5] / math.sqrt(weight.sum()))

    def parameters(self, states: Array, heights: Array) -> Array:
        """`Camera.parameters` (m, 10) of states, the camera `heights` metres (m,) above the plane."""
        middle, _ = frame(self.size)
        focal = self.focal[0] * np.exp(self.focal[1] * states[:, 4])
        angle = self.tilt * np.hypot(states[:, 0], states[:, 1])
        way = np.arctan2(states[:, 1], states[:, 0])
        turn = _rotations(angle, way)
        h = turn * focal[:, None, None]
        h[:, :2] = h[:, :2] + middle[:, None] * turn[:, 2:]
        h[:, 2] = turn[:, 2]
        h[:, :, :2] = h[:, :, :2] / heights[:, None, None]
        lens = np.array([self.lens.k1, self.lens.k2]) + states[:, 2:4] * [self.lens.k1_u, self.lens.k2_u]
        return np.concatenate([(h / h[:, 2:, 2:]).reshape(-1, 9)[:, :8], lens], axis=1)


def _size(one: Reference, plane: Array) -> tuple[Array, Array]:
    """Lengths or diameters (m,) of a reference on planes (m, n, 2), and what its points miss a circle by."""
    if one.closed and len(one.points) >= _ROUND:
        return _circle(plane)
    size = _wide(plane) if one.closed else np.hypot(*(plane[:, -1] - plane[:, 0]).T)
    return size, np.zeros((len(plane), 0))


def _pointed(one: Reference, pointing_px: float) -> float:
    """Relative standard uncertainty of a reference's length from where its points were set."""
    return math.sqrt(4 / len(one.points) if one.closed else 2) * pointing_px / _span(one)


def _span(one: Reference) -> float:
    """Pixels from end to end of a line, or across an outline."""
    points = np.asarray(one.points, dtype=float)
    return float(np.ptp(points, axis=0).max()) if one.closed else math.dist(points[0], points[-1])


def _rotations(angle: Array, way: Array) -> Array:
    """Rotations (m, 3, 3) by angles about axes in the plane (Rodrigues)."""
    x, y, zero = np.cos(way), np.sin(way), np.zeros_like(way)
    cross = np.stack([zero, zero, y, zero, zero, -x, -y, x, zero], axis=1).reshape(-1, 3, 3)
    s, c = np.sin(angle)[:, None, None], np.cos(angle)[:, None, None]
    return np.asarray(np.eye(3) + s * cross + (1 - c) * cross @ cross)


def _circle(plane: Array) -> tuple[Array, Array]:
    """Diameters (m,) of the circles through points (m, n, 2) by least squares (Kasa, 1976), and misses (m, n)."""
    middle = plane.mean(axis=1, keepdims=True)
    away = plane - middle
    rows = np.concatenate([away, np.ones((*away.shape[:2], 1))], axis=2)
    squares = (away**2).sum(axis=2)[..., None]
    normal = rows.transpose(0, 2, 1) @ rows
    solved = np.linalg.solve(normal, rows.transpose(0, 2, 1) @ squares)[..., 0]
    centre = solved[:, None, :2] / 2
    radius = np.sqrt(np.maximum(solved[:, 2] + (centre[:, 0] ** 2).sum(axis=1), 1e-30))
    return 2 * radius, np.hypot(*np.moveaxis(away - centre, 2, 0)) - radius[:, None]


def _wide(plane: Array) -> Array:
    """The diameter of the circle of the same area, for outlines (m, n, 2) of few points."""
    after = np.roll(plane, -1, axis=1)
    doubled = (plane[..., 0] * after[..., 1] - after[..., 0] * plane[..., 1]).sum(axis=1)
    return np.asarray(np.sqrt(2 * np.abs(doubled) / np.pi))


def _warmer(fits: Array, heat: float) -> tuple[float, Array]:
    """The next heat, at which half the draws still count, and their weights."""

    def weights(more: float) -> Array:
        found = np.exp(more * (fits - fits.max()))
        return np.asarray(found / found.sum())

    def enough(more: float) -> bool:
        return bool(1 / (weights(more) ** 2).sum() > len(fits) / 2)

    if enough(1.0 - heat):
        return 1.0, weights(1.0 - heat)
    low, high = 0.0, 1.0 - heat
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (middle, high) if enough(middle) else (low, middle)
    return heat + high, weights(high)
