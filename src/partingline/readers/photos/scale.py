"""The scale of a photo: pixels become metres on a plane, with their uncertainty.

From the card's markers (perspective and lens removed), from a ruler line, or from anything of a standard size. The
uncertainty has the causes fit, size of the reference, tilt (of a lone line), pointing by edge sharpness, and height
over the plane. Sources: JCGM 100:2008, 5.1.2; the pinhole model.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from partingline.readers.photos.camera import Camera

Array = NDArray[np.float64]
Point = tuple[float, float]
TILT = math.radians(5.0)
"""Half-width of the tilt of a picture that was taken square by eye: common practice, no source."""
POINTING_PX = 0.7
"""Standard uncertainty of a point that a person sets, in pixels, on a sharp edge: common practice, no source."""
_FOCAL_35MM = (28.0, 0.35)
"""Focal length where the picture does not tell it, mm for 35 mm film, and its relative standard uncertainty."""


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
    """Either `camera` (a fitted plane) or `metres_per_pixel` (a line). `relative_u` is that of the reference's size.

    `focal_px` and `focal_u` (relative) give the camera's distance, for what lies above the plane.
    """

    source: str
    camera: Camera | None
    metres_per_pixel: float
    relative_u: float
    focal_px: float
    focal_u: float
    pointing_px: float = POINTING_PX

    def to_plane(self, pixels: Sequence[Point]) -> Array:
        """Points in metres (n, 2) under pixels."""
        points = np.asarray(pixels, dtype=float).reshape(-1, 2)
        return points * self.metres_per_pixel if self.camera is None else self.camera.to_plane(points)

    def to_pixels(self, plane: Array) -> Array:
        """Pixels of points in metres."""
        return plane / self.metres_per_pixel if self.camera is None else self.camera.to_pixels(plane)

    @property
    def distance(self) -> float:
        """Metres from the camera to the plane, by focal length over scale at the middle of the reference."""
        return self.focal_px * self.metres_per_pixel

    def measure(self, pixels: Sequence[Point], *, height: float = 0.0, height_u: float = 0.0) -> Measured:
        """The length of a line through pixels on a plane `height` metres (with its uncertainty) above the reference.

        What is nearer to the camera looks larger: lengths are reduced by height over distance.
        """
        points = np.asarray(pixels, dtype=float).reshape(-1, 2)
        plane = self.to_plane([(float(x), float(y)) for x, y in points])
        length = _length(plane)
        reduced = 1 - height / self.distance
        fit = self._fit_u(points, length)
        away = height / self.distance * self.focal_u
        return Measured(
            length * reduced,
            reduced * math.hypot(fit, self.relative_u * length),
            reduced * self.pointing_px * self._local(points, plane),
            length * math.hypot(away, height_u / self.distance),
        )

    def _fit_u(self, points: Array, length: float) -> float:
        camera = self.camera
        if camera is None:
            return 0.0
        slopes = []
        spread = np.sqrt(np.maximum(np.diag(camera.covariance), 0))
        for k, one in enumerate(spread.tolist()):
            moved = camera.parameters.copy()
            step = max(0.01 * one, 1e-12)
            moved[k] += step
            slopes.append((_length(camera.to_plane(points, moved)) - length) / step)
        slope = np.array(slopes)
        return float(np.sqrt(max(0.0, slope @ camera.covariance @ slope)))

    def _local(self, points: Array, plane: Array) -> float:
        """Metres of length for one pixel of scatter of each point, root of squares."""
        total = 0.0
        for k in range(len(points)):
            for axis in (0, 1):
                moved = points.copy()
                moved[k, axis] += 0.5
                there = self.to_plane([(float(x), float(y)) for x, y in moved])
                total += ((_length(there) - _length(plane)) / 0.5) ** 2
        return math.sqrt(total)


def ruler_scale(
    pixels: Sequence[Point], length: float, size: tuple[int, int], *, length_u: float = 0.0, focal_35mm: float = 0.0,
    source: str = "ruler", tilt: float = TILT,
) -> Scale:  # fmt: skip
    """A scale from one line of known length in metres. ValueError for a line without length.

    One line tells nothing of tilt: the plane is taken as square to the camera, up to `tilt` (half-width, radians),
    which shortens one direction by its cosine, and moves the scale across the picture by its sine.
    """
    points = np.asarray(pixels, dtype=float).reshape(-1, 2)
    span = float(math.dist(points[0], points[-1])) if len(points) else 0.0
    if span < 2 or length <= 0:
        raise ValueError(f"a line of {span:.1f} pixels for {length * 1e3:g} mm: expected two points apart")
    focal, focal_u = _focal(size, focal_35mm)
    across = 0.5 * max(size) / focal * math.sin(tilt)
    shrink = 1 - math.cos(tilt)
    ends = math.sqrt(2) * POINTING_PX / span
    relative = math.sqrt((length_u / length) ** 2 + ends**2 + (across**2 + shrink**2) / 3 * 0.25)
    return Scale(source, None, length / span, relative, focal, focal_u)


def camera_scale(camera: Camera, *, relative_u: float, focal_35mm: float = 0.0, source: str = "card") -> Scale:
    """A scale from a fitted camera; `relative_u` is that of the printed size."""
    focal, focal_u = _focal(camera.size, focal_35mm)
    middle = np.array([[(camera.size[0] - 1) / 2, (camera.size[1] - 1) / 2]])
    plane = camera.to_plane(middle + np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]))
    one, other = plane[1] - plane[0], plane[2] - plane[0]
    local = math.sqrt(abs(float(one[0] * other[1] - one[1] * other[0])))
    return Scale(source, camera, local, relative_u, focal, focal_u)


def with_sharpness(scale: Scale, edge_width_px: float) -> Scale:
    """The same scale for edges that take `edge_width_px` (10 % to 90 %) from dark to light.

    A point on a blurred edge is set to about a quarter of its width (common practice, no source).
    """
    return replace(scale, pointing_px=max(POINTING_PX, edge_width_px / 4))


def _focal(size: tuple[int, int], focal_35mm: float) -> tuple[float, float]:
    """Focal length in pixels, by the diagonal of 35 mm film (43.27 mm), and its relative uncertainty."""
    told, u = (focal_35mm, 0.03) if focal_35mm > 0 else _FOCAL_35MM
    return told * math.hypot(*size) / 43.2666, u


def _length(points: Array) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())
