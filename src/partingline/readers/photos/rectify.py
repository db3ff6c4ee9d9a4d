"""A photo laid flat: perspective and lens removed, so that a millimetre is as many pixels everywhere."""

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from partingline.readers.photos.scale import Scale

if TYPE_CHECKING:
    from PIL.Image import Image

Array = NDArray[np.float64]
MOST_PIXELS = 120_000_000
_COARSE = 16


def rectified(image: "Image", scale: Scale, pixels_per_mm: float) -> "Image":
    """The part of the reference's plane that a photo shows, upright as the reference lies. Needs OpenCV.

    ValueError where the result would have more than `MOST_PIXELS`, as at a steep tilt or a fine step.
    """
    import cv2
    from PIL import Image as Pictures

    wide, high = image.size
    rim = [(x, y) for x in np.linspace(0, wide - 1, 9) for y in np.linspace(0, high - 1, 9)]
    plane = scale.to_plane([(float(x), float(y)) for x, y in rim])
    low, top = plane.min(axis=0), plane.max(axis=0)
    step = 1e-3 / pixels_per_mm
    columns, rows = (int(n) for n in np.ceil((top - low) / step))
    if columns * rows > MOST_PIXELS:
        raise ValueError(f"{columns} × {rows} pixels; expected at most {MOST_PIXELS // 10**6} megapixels")
    xs, ys = np.arange(0, columns + _COARSE, _COARSE), np.arange(0, rows + _COARSE, _COARSE)
    grid = np.stack(np.meshgrid(low[0] + step * xs, low[1] + step * ys), axis=-1).reshape(-1, 2)
    at = scale.to_pixels(grid).reshape(len(ys), len(xs), 2).astype(np.float32)
    fine = _between(at, columns, rows)
    found = cv2.remap(np.asarray(image), fine[..., 0], fine[..., 1], cv2.INTER_LINEAR, borderValue=(255, 255, 255))
    return Pictures.fromarray(np.asarray(found, dtype=np.uint8))


def _between(coarse: NDArray[np.float32], columns: int, rows: int) -> NDArray[np.float32]:
    """Places for every pixel from those of every sixteenth, straight in between."""
    import cv2

    turn = np.array([[1 / _COARSE, 0, 0], [0, 1 / _COARSE, 0]])
    how = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    return np.asarray(cv2.warpAffine(coarse, turn, (columns, rows), flags=how, borderMode=cv2.BORDER_REPLICATE))
