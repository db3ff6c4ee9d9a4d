"""The card found in a picture, by OpenCV's ArUco detector: corners to parts of a pixel, fitted to the card's places."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from partingline.readers.photos.camera import Camera, Lens, fit_camera
from partingline.readers.photos.card import PRINT_U, markers
from partingline.readers.photos.opening import PictureError
from partingline.readers.photos.scale import Scale, camera_scale, with_sharpness
from partingline.readers.photos.sharpness import edge_width

if TYPE_CHECKING:
    from PIL.Image import Image

Array = NDArray[np.float64]
LEAST = 4
_PIXEL_U = 0.05
_OPEN = Lens(0.0, 0.0, 1.0, 1.0)
"""Nothing known of a lens: what a calibration set begins with."""


def card_scale(
    image: "Image", *, focal_35mm: float = 0.0, lens: Lens | None = None, relative_u: float = PRINT_U
) -> Scale:
    """The scale of a picture with the card in it. PictureError where fewer than four markers are seen.

    `lens` comes from a calibration set; without it k1 and k2 are fitted along, from the markers.
    """
    plane, pixels = find_markers(image)
    if len(plane) < 4 * LEAST:
        found = f"{len(plane) // 4} markers of the card"
        raise PictureError(found, f"at least {LEAST}, sharp and whole", "Take the picture anew, or mark a ruler line.")
    camera = _fit(plane, pixels, image.size, lens)
    source = "card, lens by its calibration set" if lens else "card"
    scale = camera_scale(camera, relative_u=relative_u, focal_35mm=focal_35mm, source=source)
    squares = [([(float(x), float(y)) for x, y in four], True) for four in pixels.reshape(-1, 4, 2)]
    return with_sharpness(scale, edge_width(np.asarray(image.convert("L")), squares))


def find_markers(image: "Image") -> tuple[Array, Array]:
    """Corners of the card's markers: places in millimetres (n, 2) and pixels (n, 2), centres at whole numbers."""
    try:
        import cv2
    except ImportError:
        step = "Install it with: pip install 'partingline[photos]', or mark a ruler line."
        raise PictureError("a picture with a card", "OpenCV, which is optional", step) from None
    aruco = cv2.aruco
    options = aruco.DetectorParameters()
    options.cornerRefinementMethod = aruco.CORNER_REFINE_SUBPIX
    options.cornerRefinementWinSize = 7
    options.cornerRefinementMinAccuracy = 0.005
    options.cornerRefinementMaxIterations = 100
    detector = aruco.ArucoDetector(aruco.getPredefinedDictionary(aruco.DICT_4X4_50), options)
    corners, ids, _ = detector.detectMarkers(np.asarray(image.convert("L")))
    known = {marker.id: marker.corners for marker in markers()}
    plane, pixels = [], []
    for number, four in zip([] if ids is None else ids.ravel().tolist(), corners, strict=True):
        if int(number) in known:
            plane += list(known[int(number)])
            pixels += four.reshape(4, 2).tolist()
    return np.array(plane, dtype=float).reshape(-1, 2), np.array(pixels, dtype=float).reshape(-1, 2)


def lens_of(images: "Iterable[Image]") -> Lens:
    """The lens from pictures of the card at many angles: the calibration set. PictureError below three.

    Each picture is fitted by itself; the lens is the mean of the fits, weighted by their uncertainties, and its own
    uncertainty is the larger of what the fits state and what they scatter (JCGM 100:2008, 4.2 and 5.1).
    """
    fits = []
    for image in images:
        plane, pixels = find_markers(image)
        if len(plane) >= 4 * LEAST:
            camera = _fit(plane, pixels, image.size, _OPEN)
            fits.append((camera.parameters[8:], np.sqrt(np.diag(camera.covariance)[8:])))
    if len(fits) < 3:
        step = "Take more, the card filling the picture, from many sides."
        raise PictureError(f"{len(fits)} pictures with the card", "at least three", step)
    found, u = (np.array(column) for column in zip(*fits, strict=True))
    weights = u**-2 / (u**-2).sum(axis=0)
    mean = (weights * found).sum(axis=0)
    scatter = np.sqrt((weights * (found - mean) ** 2).sum(axis=0) / (len(fits) - 1))
    k1_u, k2_u = np.maximum((u**-2).sum(axis=0) ** -0.5, scatter).tolist()
    return Lens(float(mean[0]), float(mean[1]), k1_u, k2_u)


def _fit(plane: Array, pixels: Array, size: tuple[int, int], lens: Lens | None) -> Camera:
    away = pixels - np.repeat(pixels.reshape(-1, 4, 2).mean(axis=1), 4, axis=0)
    outward = away / np.hypot(*away.T)[:, None]
    return fit_camera(plane * 1e-3, pixels, size, pixel_u=_PIXEL_U, lens=lens, outward=outward)
