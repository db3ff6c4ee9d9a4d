"""Photos of a known board on the card, drawn by OpenCV under random cameras: tilt, lens, blur, noise, JPEG.

The camera here is written out anew (rotation, pinhole, radial lens), and is not the model under test.
"""

import io
import math
import random
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from partingline.readers.photos.card import HEIGHT, WIDTH, markers

Array = NDArray[np.float64]
FINE = 12  # pixels a millimetre of the drawing
MARGIN = 12.0
TARGETS = ((24.0, 24.0), (112.0, 30.0), (30.0, 80.0), (108.0, 86.0), (70.0, 54.0), (54.0, 34.0))  # mm, saddle points


@dataclass(frozen=True)
class Shot:
    """A picture, and where the targets truly are in it (pixel centres at whole numbers)."""

    image: Image.Image
    targets: Array


def drawing() -> NDArray[np.uint8]:
    """The card and a board with saddle targets, from above."""
    wide, high = round((WIDTH + 2 * MARGIN) * FINE), round((HEIGHT + 2 * MARGIN) * FINE)
    canvas = np.full((high, wide), 235, np.uint8)

    def fill(x: float, y: float, w: float, h: float, grey: int) -> None:
        x0, y0, x1, y1 = (round((v + MARGIN) * FINE) for v in (x, y, x + w, y + h))
        canvas[y0:y1, x0:x1] = grey

    for marker in markers():
        for x, y, side in marker.cells:
            fill(x, y, side, side, 25)
    fill(16, 16, 104, 78, 90)
    for x, y in TARGETS:
        fill(x - 4, y - 4, 8, 8, 210)
        fill(x - 4, y - 4, 4, 4, 40)
        fill(x, y, 4, 4, 40)
    return canvas


def shoot(canvas: NDArray[np.uint8], seed: int, size: tuple[int, int] = (1280, 960)) -> Shot:
    """A picture by a random camera: tilt to 35 degrees in any direction, turned, lens, blur, noise, JPEG."""
    dice = random.Random(seed)
    tilt, toward, turn = (math.radians(dice.uniform(0, top)) for top in (35, 360, 360))
    axis = np.array([math.cos(toward), math.sin(toward), 0.0])
    rotation = cv2.Rodrigues(axis * tilt)[0] @ cv2.Rodrigues(np.array([0.0, 0.0, turn]))[0]
    focal = dice.uniform(0.75, 1.4) * size[0]
    middle = np.array([WIDTH / 2, HEIGHT / 2])
    away = np.array([dice.uniform(-4, 4), dice.uniform(-4, 4), focal / size[1] * dice.uniform(205, 250)])
    lens = dice.uniform(-0.06, 0.06), dice.uniform(-0.01, 0.01)
    optical = np.array([(size[0] - 1) / 2, (size[1] - 1) / 2])
    half = math.hypot(*size) / 2

    def seen(plane: Array) -> Array:
        solid = np.column_stack([plane - middle, np.zeros(len(plane))]) @ rotation.T + away
        flat = focal * solid[:, :2] / solid[:, 2:]
        r2 = (flat**2).sum(axis=1, keepdims=True) / half**2
        return np.asarray(optical + flat * (1 + lens[0] * r2 + lens[1] * r2**2))

    image = _draw(canvas, seen, rotation, away, focal, lens, optical, half, middle, size)
    image = cv2.GaussianBlur(image, (0, 0), dice.uniform(0.5, 1.6))
    noise = np.random.default_rng(seed).normal(0, dice.uniform(0.5, 4), image.shape)
    picture = Image.fromarray(np.uint8(np.clip(image + noise, 0, 255)))
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=dice.randint(70, 95))
    return Shot(Image.open(out).convert("RGB"), seen(np.array(TARGETS)))


def _draw(canvas, seen, rotation, away, focal, lens, optical, half, middle, size):  # type: ignore[no-untyped-def]
    """For every pixel the place of the drawing under it: the lens undone by iteration, the plane met by the ray."""
    columns, rows = np.meshgrid(np.arange(size[0]), np.arange(size[1]))
    shown = (np.stack([columns, rows], axis=-1).reshape(-1, 2) - optical) / half
    straight = shown.copy()
    for _ in range(6):
        r2 = (straight**2).sum(axis=1, keepdims=True)
        straight = shown / (1 + lens[0] * r2 + lens[1] * r2**2)
    rays = np.column_stack([straight * half / focal, np.ones(len(straight))]) @ rotation
    origin = away @ rotation
    plane = rays[:, :2] * (origin[2] / rays[:, 2])[:, None] - origin[:2] + middle
    at = ((plane + MARGIN) * FINE - 0.5).reshape(size[1], size[0], 2).astype(np.float32)
    smooth = cv2.GaussianBlur(canvas, (0, 0), 0.5 * FINE * away[2] / focal)
    return cv2.remap(smooth, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderValue=200).astype(np.float64)


def point_at(image: Image.Image, near: Array) -> Array:
    """Saddle points found near places: OpenCV's sub-pixel corner search, as a careful person with a loupe."""
    grey = np.asarray(image.convert("L"))
    start = np.round(near).astype(np.float32).reshape(-1, 1, 2)
    ends = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 50, 0.005)
    return np.asarray(cv2.cornerSubPix(grey, start, (6, 6), (-1, -1), ends).reshape(-1, 2), dtype=float)
