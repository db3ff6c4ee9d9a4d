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


MIDDLE = np.array([WIDTH / 2, HEIGHT / 2])


@dataclass(frozen=True)
class Shot:
    """A picture, where the targets truly are in it (pixel centres at whole numbers), and its camera."""

    image: Image.Image
    targets: Array
    pose: "Pose"


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


@dataclass(frozen=True)
class Pose:
    """A random camera: `seen` gives pixels of places on the card in millimetres, `height` above it."""

    dice: random.Random
    size: tuple[int, int]
    rotation: Array
    away: Array
    focal: float
    lens: tuple[float, float]

    @property
    def optical(self) -> Array:
        return np.array([(self.size[0] - 1) / 2, (self.size[1] - 1) / 2])

    @property
    def half(self) -> float:
        return math.hypot(*self.size) / 2

    @property
    def focal_35mm(self) -> float:
        return self.focal * 43.2666 / math.hypot(*self.size)

    def seen(self, plane: Array, height: float = 0.0) -> Array:
        solid = np.column_stack([plane - MIDDLE, np.full(len(plane), -height)]) @ self.rotation.T + self.away
        flat = self.focal * solid[:, :2] / solid[:, 2:]
        r2 = (flat**2).sum(axis=1, keepdims=True) / self.half**2
        return np.asarray(self.optical + flat * (1 + self.lens[0] * r2 + self.lens[1] * r2**2))


def pose(
    seed: int, *, most_tilt: float = 35.0, told_lens: tuple[float, float] | None = None,
    size: tuple[int, int] = (1280, 960),
) -> Pose:  # fmt: skip
    """Tilt to `most_tilt` degrees in any direction, turned, with a lens."""
    dice = random.Random(seed)
    tilt, toward, turn = (math.radians(dice.uniform(0, top)) for top in (most_tilt, 360, 360))
    axis = np.array([math.cos(toward), math.sin(toward), 0.0])
    rotation = cv2.Rodrigues(axis * tilt)[0] @ cv2.Rodrigues(np.array([0.0, 0.0, turn]))[0]
    focal = dice.uniform(0.75, 1.4) * size[0]
    away = np.array([dice.uniform(-4, 4), dice.uniform(-4, 4), focal / size[1] * dice.uniform(205, 250)])
    lens = dice.uniform(-0.06, 0.06), dice.uniform(-0.01, 0.01)
    return Pose(dice, size, rotation, away, focal, told_lens or lens)


def shoot(canvas: NDArray[np.uint8], seed: int, *, told_lens: tuple[float, float] | None = None) -> Shot:
    """A picture by a random camera, with blur, noise, JPEG."""
    one = pose(seed, told_lens=told_lens)
    image = cv2.GaussianBlur(_draw(canvas, one), (0, 0), one.dice.uniform(0.5, 1.6))
    noise = np.random.default_rng(seed).normal(0, one.dice.uniform(0.5, 4), image.shape)
    picture = Image.fromarray(np.uint8(np.clip(image + noise, 0, 255)))
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=one.dice.randint(70, 95))
    return Shot(Image.open(out).convert("RGB"), one.seen(np.array(TARGETS)), one)


def _draw(canvas: NDArray[np.uint8], one: Pose) -> Array:
    """For every pixel the place of the drawing under it: the lens undone by iteration, the plane met by the ray."""
    columns, rows = np.meshgrid(np.arange(one.size[0]), np.arange(one.size[1]))
    shown = (np.stack([columns, rows], axis=-1).reshape(-1, 2) - one.optical) / one.half
    straight = shown.copy()
    for _ in range(6):
        r2 = (straight**2).sum(axis=1, keepdims=True)
        straight = shown / (1 + one.lens[0] * r2 + one.lens[1] * r2**2)
    rays = np.column_stack([straight * one.half / one.focal, np.ones(len(straight))]) @ one.rotation
    origin = one.away @ one.rotation
    plane = rays[:, :2] * (origin[2] / rays[:, 2])[:, None] - origin[:2] + MIDDLE
    at = ((plane + MARGIN) * FINE - 0.5).reshape(one.size[1], one.size[0], 2).astype(np.float32)
    smooth = cv2.GaussianBlur(canvas, (0, 0), 0.5 * FINE * one.away[2] / one.focal)
    found = cv2.remap(smooth, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderValue=200)
    return np.asarray(found, dtype=float)


def point_at(image: Image.Image, near: Array) -> Array:
    """Saddle points found near places: OpenCV's sub-pixel corner search, as a careful person with a loupe."""
    grey = np.asarray(image.convert("L"))
    start = np.round(near).astype(np.float32).reshape(-1, 1, 2)
    ends = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 50, 0.005)
    return np.asarray(cv2.cornerSubPix(grey, start, (6, 6), (-1, -1), ends).reshape(-1, 2), dtype=float)
