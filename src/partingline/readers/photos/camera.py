"""A camera over a plane: the projection, its fit to known points, and its inverse. Pure numbers, pixels and metres.

Model: a homography, then radial distortion about the middle of the picture, x_d = x_u (1 + k1 r² + k2 r⁴) with r in
half diagonals (the polynomial of Brown, 1966). Fit: least squares; uncertainty: JCGM 100:2008,
H.3 (covariance of a fit).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
_PRIOR = (0.05, 0.02)
"""Standard deviations of k1 and k2 where no calibration set tells them: lenses of telephones and of bench cameras."""


@dataclass(frozen=True)
class Camera:
    """The projection of a plane: `parameters` (h11 ... h32, k1, k2), their covariance, the fit's scatter in pixels.

    Metres are divided by `unit` before the homography, so that its numbers are of one size.
    """

    parameters: Array
    covariance: Array
    scatter: float
    size: tuple[int, int]
    unit: float

    def to_pixels(self, plane: Array, parameters: Array | None = None) -> Array:
        """Pixels (n, 2) of points of the plane (n, 2) in metres."""
        return _project(self.parameters if parameters is None else parameters, plane / self.unit, self.size)

    def to_plane(self, pixels: Array, parameters: Array | None = None) -> Array:
        """Points of the plane in metres (n, 2) that lie under pixels (n, 2)."""
        p = self.parameters if parameters is None else parameters
        straight = _undistorted(p[8:], pixels, self.size)
        back = np.linalg.inv(np.append(p[:8], 1.0).reshape(3, 3))
        found = np.column_stack([straight, np.ones(len(straight))]) @ back.T
        return np.asarray(found[:, :2] / found[:, 2:] * self.unit)


def fit_camera(
    plane: Array, pixels: Array, size: tuple[int, int], *, pixel_u: float = 0.0, lens: tuple[float, float] | None = None
) -> Camera:
    """The camera that shows points of a plane (n, 2) in metres at pixels (n, 2) of a picture of a size.

    `pixel_u` is the least standard uncertainty of a pixel; `lens` are k1 and k2 from a calibration set. ValueError for
    fewer than four points, or points on one line.
    """
    from scipy.optimize import least_squares

    if len(plane) < 4:
        raise ValueError(f"{len(plane)} points; a homography takes four")
    unit = float(np.ptp(plane, axis=0).max())
    scaled = plane / unit
    start = np.concatenate([_homography(scaled, pixels), lens or (0.0, 0.0)])
    many = 4 + len(_PRIOR) < len(plane)
    prior = np.array(_PRIOR if many and lens is None else (1e-9, 1e-9))
    known = np.array(lens or (0.0, 0.0))
    sigma = max(pixel_u, 0.05)

    def off(p: Array) -> Array:
        return np.concatenate([(_project(p, scaled, size) - pixels).ravel() / sigma, (p[8:] - known) / prior])

    fit = least_squares(off, start, x_scale=np.maximum(np.abs(start), 1e-3))
    freedom = max(1, 2 * len(plane) - 8)
    misses = (_project(fit.x, scaled, size) - pixels).ravel()
    scatter = float(np.sqrt(misses @ misses / freedom))
    ratio = max(1.0, scatter / sigma) ** 2
    slopes = np.asarray(fit.jac, dtype=float)
    covariance = np.linalg.pinv(slopes.T @ slopes, rcond=1e-15) * ratio
    return Camera(fit.x, covariance, scatter, size, unit)


def _homography(plane: Array, pixels: Array) -> Array:
    """The direct linear solution, h33 = 1."""
    middle, spread = pixels.mean(axis=0), float(pixels.std()) or 1.0
    rows = []
    for (x, y), (u, v) in zip(plane, (pixels - middle) / spread, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y, -u], [0, 0, 0, x, y, 1, -v * x, -v * y, -v]]
    _, values, vectors = np.linalg.svd(np.array(rows))
    if values[7] < 1e-9 * values[0]:
        raise ValueError("the points lie on one line; a homography takes four that do not")
    h = np.array([[spread, 0, middle[0]], [0, spread, middle[1]], [0, 0, 1]]) @ vectors[-1].reshape(3, 3)
    return np.asarray((h / h[2, 2]).ravel()[:8])


def _project(p: Array, plane: Array, size: tuple[int, int]) -> Array:
    h = np.append(p[:8], 1.0).reshape(3, 3)
    seen = np.column_stack([plane, np.ones(len(plane))]) @ h.T
    flat = seen[:, :2] / seen[:, 2:]
    middle, half = _frame(size)
    away = (flat - middle) / half
    r2 = (away**2).sum(axis=1, keepdims=True)
    return np.asarray(middle + half * away * (1 + p[8] * r2 + p[9] * r2 * r2))


def _undistorted(lens: Array, pixels: Array, size: tuple[int, int]) -> Array:
    middle, half = _frame(size)
    seen = (np.asarray(pixels, dtype=float) - middle) / half
    straight = seen.copy()
    for _ in range(30):
        r2 = (straight**2).sum(axis=1, keepdims=True)
        straight = seen / (1 + lens[0] * r2 + lens[1] * r2 * r2)
    return np.asarray(middle + half * straight)


def _frame(size: tuple[int, int]) -> tuple[Array, float]:
    """The middle of the pixel grid (centres at whole numbers) and half the diagonal."""
    return np.array([(size[0] - 1) / 2, (size[1] - 1) / 2]), float(np.hypot(*size)) / 2
