"""The scale of a photo: pixels become metres on a plane, with their uncertainty.

One camera is the best one; many others (draws) are all that the reference leaves open: fit, size of the reference,
lens, tilt, focal length. A length is measured through all of them (JCGM 101:2008, 5). Besides there is pointing, by
edge sharpness, and height over the plane (pinhole model).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from partingline.readers.photos.camera import Camera, heights_over, to_plane_many

Array = NDArray[np.float64]
Point = tuple[float, float]
POINTING_PX = 0.7
"""Standard uncertainty of a point that a person sets, in pixels, on a sharp edge: common practice, no source."""
_FOCAL_35MM = (28.0, 0.35)
"""Focal length where the picture does not tell it, mm for 35 mm film, and its relative standard uncertainty."""
_TOLD_FOCAL_U = 0.03
_DRAWS = 400
_HEIGHT_U = 0.1
"""Relative standard uncertainty of how far a reference is said to lie above or below: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A length in metres with standard uncertainties by cause: `scale` is shared in one picture, `pointing` is not."""

    length: float
    scale_u: float
    pointing_u: float
    height_u: float

    @property
    def u(self) -> float:
        """Combined standard uncertainty."""
        return math.sqrt(self.scale_u**2 + self.pointing_u**2 + self.height_u**2)


@dataclass(frozen=True)
class Scale:
    """`camera` is the best one; `draws` (m, 10) are parameters of those that are possible, `heights` (m,) in metres
    over the reference's plane.

    `reference_height` is how far the reference lies above what is measured (metres; negative for a card below a board).
    `strain` is chi square of the best camera: what references miss each other by, and what lens and focal length had to
    be bent to make them fit.
    """

    source: str
    camera: Camera
    draws: Array
    heights: Array
    pointing_px: float = POINTING_PX
    reference_height: float = 0.0
    strain: float = 0.0

    def to_plane(self, pixels: Sequence[Point]) -> Array:
        """Points in metres (n, 2) under pixels, by the best camera, in the reference's plane."""
        return self.camera.to_plane(np.asarray(pixels, dtype=float).reshape(-1, 2))

    def to_pixels(self, plane: Array) -> Array:
        """Pixels of points in metres."""
        return self.camera.to_pixels(plane)

    @property
    def identity(self) -> tuple[object, ...]:
        """What two scales that measure alike have in common."""
        told = (self.draws.tobytes(), self.heights.tobytes(), self.camera.parameters.tobytes())
        return (*told, self.source, self.pointing_px, self.reference_height)

    @property
    def distance(self) -> float:
        """Metres from the reference's plane up to the camera."""
        return float(np.median(self.heights))

    def measure(self, pixels: Sequence[Point], *, height: float = 0.0, height_u: float = 0.0) -> Measured:
        """The length of a line through pixels, `height` metres (with its uncertainty) above what is measured else.

        What is nearer to the camera looks larger: lengths are reduced by height over distance.
        """
        points = np.asarray(pixels, dtype=float).reshape(-1, 2)
        away = height - self.reference_height
        height_u = math.hypot(height_u, _HEIGHT_U * self.reference_height)
        lengths = self._lengths(points) * (1 - away / self.heights)
        length = float(lengths.mean())
        pointing = self.pointing_px * self._local(points) * (1 - away / self.distance)
        return Measured(length, float(lengths.std()), pointing, length * height_u / (self.distance - away))

    def _lengths(self, points: Array) -> Array:
        plane = to_plane_many(self.draws, points, self.camera.size, self.camera.unit)
        return np.asarray(np.hypot(*np.moveaxis(np.diff(plane, axis=1), 2, 0)).sum(axis=1))

    def _local(self, points: Array) -> float:
        """Metres of length for one pixel of scatter of each point, root of squares."""
        moved = np.concatenate([points[None] + step for step in _nudges(len(points))])
        plane = self.camera.to_plane(moved.reshape(-1, 2)).reshape(moved.shape)
        lengths = np.hypot(*np.moveaxis(np.diff(plane, axis=1), 2, 0)).sum(axis=1)
        return float(np.sqrt(((lengths[0::2] - lengths[1::2]) ** 2).sum()))


def camera_scale(camera: Camera, *, relative_u: float, focal_35mm: float = 0.0, source: str = "card") -> Scale:
    """A scale from a fitted camera; `relative_u` is that of the printed size."""
    dice = np.random.default_rng(1)
    half = dice.standard_normal((_DRAWS // 2, 12))
    normal = np.concatenate([half, -half])  # in pairs: the mean is the best camera's to second order
    values, vectors = np.linalg.eigh(camera.covariance)
    draws = camera.parameters + normal[:, :10] @ (vectors * np.sqrt(np.maximum(values, 0))).T
    larger = 1 + relative_u * normal[:, 10:11]
    draws[:, [0, 1, 3, 4, 6, 7]] /= larger
    told, u = focal_px(camera.size, focal_35mm)
    heights = heights_over(draws, told * np.exp(u * normal[:, 11]), camera.size, camera.unit)
    return Scale(source, camera, draws, heights)


def with_sharpness(scale: Scale, edge_width_px: float) -> Scale:
    """The same scale for edges that take `edge_width_px` (10 % to 90 %) from dark to light.

    A point on a blurred edge is set to about a quarter of its width (common practice, no source).
    """
    return replace(scale, pointing_px=pointing_of(edge_width_px))


def pointing_of(edge_width_px: float) -> float:
    """Standard uncertainty in pixels of a point that is set on an edge of a width."""
    return max(POINTING_PX, edge_width_px / 4)


def focal_px(size: tuple[int, int], focal_35mm: float) -> tuple[float, float]:
    """Focal length in pixels, by the diagonal of 35 mm film (43.27 mm), and its relative uncertainty."""
    told, u = (focal_35mm, _TOLD_FOCAL_U) if focal_35mm > 0 else _FOCAL_35MM
    return told * math.hypot(*size) / 43.2666, u


def _nudges(count: int) -> list[Array]:
    """Half a pixel forth and back of each coordinate of each point."""
    found = []
    for k in range(count):
        for axis in (0, 1):
            for way in (0.5, -0.5):
                step = np.zeros((1, count, 2))
                step[0, k, axis] = way
                found.append(step)
    return found
