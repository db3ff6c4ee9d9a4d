"""The card found in a picture, by OpenCV's ArUco detector: corners to parts of a pixel, fitted to the card's places."""

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from partingline.readers.photos.camera import fit_camera
from partingline.readers.photos.card import PRINT_U, markers
from partingline.readers.photos.opening import PictureError
from partingline.readers.photos.scale import Scale, camera_scale

if TYPE_CHECKING:
    from PIL.Image import Image

Array = NDArray[np.float64]
LEAST = 4
_PIXEL_U = 0.1


def card_scale(
    image: "Image", *, focal_35mm: float = 0.0, lens: tuple[float, float] | None = None, relative_u: float = PRINT_U
) -> Scale:
    """The scale of a picture with the card in it. PictureError where fewer than four markers are seen.

    `lens` are k1 and k2 of a calibration set; without it they are fitted along, from the markers.
    """
    plane, pixels = find_markers(image)
    if len(plane) < 4 * LEAST:
        found = f"{len(plane) // 4} markers of the card"
        raise PictureError(found, f"at least {LEAST}, sharp and whole", "Take the picture anew, or mark a ruler line.")
    camera = fit_camera(plane * 1e-3, pixels, image.size, pixel_u=_PIXEL_U, lens=lens)
    return camera_scale(camera, relative_u=relative_u, focal_35mm=focal_35mm)


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


def lens_of(images: "list[Image]") -> tuple[float, float]:
    """k1 and k2 of a lens from pictures of the card at many angles: the calibration set. PictureError below three.

    Each picture is fitted by itself; the mean of the fits is the lens.
    """
    fits = []
    for image in images:
        plane, pixels = find_markers(image)
        if len(plane) >= 4 * LEAST:
            fits.append(fit_camera(plane * 1e-3, pixels, image.size, pixel_u=_PIXEL_U).parameters[8:])
    if len(fits) < 3:
        step = "Take more, the card filling the picture, from many sides."
        raise PictureError(f"{len(fits)} pictures with the card", "at least three", step)
    k1, k2 = np.mean(fits, axis=0)
    return float(k1), float(k2)
