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
_COMMON = 2.0
"""Standard deviation in pixels of what all corners of dark squares are off by, along their diagonals."""
_EXPECTED = 4.0


@dataclass(frozen=True, slots=True)
class Lens:
    """Radial distortion (k1, k2) with standard uncertainties, from a calibration set."""

    k1: float
    k2: float
    k1_u: float = 0.0
    k2_u: float = 0.0


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
        straight = _undistorted(p[8:10], pixels, self.size)
        back = np.linalg.inv(np.append(p[:8], 1.0).reshape(3, 3))
        found = np.column_stack([straight, np.ones(len(straight))]) @ back.T
        return np.asarray(found[:, :2] / found[:, 2:] * self.unit)


def fit_camera(
    plane: Array,
    pixels: Array,
    size: tuple[int, int],
    *,
    pixel_u: float = 0.05,
    lens: Lens | None = None,
    outward: Array | None = None,
) -> Camera:
    """The camera that shows points of a plane (n, 2) in metres at pixels (n, 2) of a picture of a size.

    `pixel_u` is what a pixel's standard uncertainty is taken as until the scatter of the points tells it (as if seen
    `_EXPECTED` times); `lens` comes from a calibration set. `outward` (n, 2) are unit vectors along which all points
    may be off by one common number of pixels: blur and spread ink move the corners of a dark square along its
    diagonals. ValueError for fewer than four points, or points on one line.
    """
    from scipy.optimize import least_squares

    if len(plane) < 4:
        raise ValueError(f"{len(plane)} points; a homography takes four")
    unit = float(np.ptp(plane, axis=0).max())
    scaled = plane / unit
    common = np.zeros_like(pixels) if outward is None else outward
    told = lens or Lens(0.0, 0.0, *(_PRIOR if len(plane) > 6 else (0.0, 0.0)))
    known = np.array([told.k1, told.k2, 0.0])
    prior = np.array([max(told.k1_u, 1e-9), max(told.k2_u, 1e-9), _COMMON if outward is not None else 1e-9])
    start = np.concatenate([_homography(scaled, pixels), known])
    sigma = max(pixel_u, 1e-4)

    def misses(p: Array) -> Array:
        return np.asarray((_project(p, scaled, size) + p[10] * common - pixels).ravel())

    def off(p: Array) -> Array:
        return np.concatenate([misses(p) / sigma, (p[8:] - known) / prior])

    fit = least_squares(off, start, x_scale=np.maximum(np.abs(start), 1e-3))
    left = misses(fit.x)
    freedom = max(1, 2 * len(plane) - 8)
    variance = (_EXPECTED * sigma**2 + left @ left) / (_EXPECTED + freedom)
    slopes = np.asarray(fit.jac, dtype=float).copy()
    slopes[: len(left)] *= sigma / np.sqrt(variance)
    covariance = np.linalg.pinv(slopes.T @ slopes, rcond=1e-15)[:10, :10]
    return Camera(fit.x[:10], covariance, float(np.sqrt(left @ left / freedom)), size, unit)


def to_plane_many(draws: Array, pixels: Array, size: tuple[int, int], unit: float) -> Array:
    """Points (m, n, 2) in metres of a plane under pixels (n, 2), for each of m sets of `Camera.parameters` (m, 10)."""
    middle, half = frame(size)
    seen_x, seen_y = ((np.asarray(pixels, dtype=float) - middle) / half).T
    k1, k2 = draws[:, 8, None], draws[:, 9, None]
    x, y = (np.broadcast_to(one, (len(draws), len(one))) for one in (seen_x, seen_y))
    for _ in range(6):
        r2 = x * x + y * y
        larger = 1 + r2 * (k1 + k2 * r2)
        x, y = seen_x / larger, seen_y / larger
    h = np.concatenate([draws[:, :8], np.ones((len(draws), 1))], axis=1).reshape(-1, 3, 3)
    g = np.linalg.inv(h)[..., None]
    x, y = middle[0] + half * x, middle[1] + half * y
    below = g[:, 2, 0] * x + g[:, 2, 1] * y + g[:, 2, 2]
    plane = [(g[:, k, 0] * x + g[:, k, 1] * y + g[:, k, 2]) / below * unit for k in (0, 1)]
    return np.stack(plane, axis=2)


def heights_over(draws: Array, focal: Array, size: tuple[int, int], unit: float) -> Array:
    """Metres (m,) from the plane up to the camera, for sets of parameters (m, 10) and focal lengths (m,) in pixels.

    A homography is K [r1 r2 t] up to a factor (Zhang, 2000, equation 2); the height is t along r1 x r2.
    """
    middle, _ = frame(size)
    h = np.concatenate([draws[:, :8], np.ones((len(draws), 1))], axis=1).reshape(-1, 3, 3)
    rays = h.copy()
    rays[:, :2] = (h[:, :2] - middle[:, None] * h[:, 2:]) / focal[:, None, None]
    r1, r2, t = rays[:, :, 0], rays[:, :, 1], rays[:, :, 2]
    normal = np.cross(r1, r2)
    long = np.linalg.norm(normal, axis=1)
    across = np.sqrt(np.linalg.norm(r1, axis=1) * np.linalg.norm(r2, axis=1))
    return np.asarray(np.abs((normal * t).sum(axis=1)) / long / across * unit)


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
    middle, half = frame(size)
    away = (flat - middle) / half
    r2 = (away**2).sum(axis=1, keepdims=True)
    return np.asarray(middle + half * away * (1 + p[8] * r2 + p[9] * r2 * r2))


def _undistorted(lens: Array, pixels: Array, size: tuple[int, int]) -> Array:
    middle, half = frame(size)
    seen = (np.asarray(pixels, dtype=float) - middle) / half
    straight = seen.copy()
    for _ in range(30):
        r2 = (straight**2).sum(axis=1, keepdims=True)
        straight = seen / (1 + lens[0] * r2 + lens[1] * r2 * r2)
    return np.asarray(middle + half * straight)


def frame(size: tuple[int, int]) -> tuple[Array, float]:
    """The middle of the pixel grid (centres at whole numbers) and half the diagonal."""
    return np.array([(size[0] - 1) / 2, (size[1] - 1) / 2]), float(np.hypot(*size)) / 2
