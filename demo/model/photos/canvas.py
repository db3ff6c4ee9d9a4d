"""A drawing surface in millimetres: drawn at twice the size, then reduced, with light and grain of a bench photo."""

import io
import math
import zlib
from collections.abc import Sequence

import numpy as np
from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

Point = tuple[float, float]
OVER = 2  # drawn this many times larger

PAPER, INK, COPPER = "#e4e0d5", "#20262b", "#a8501f"
BOARD, BOARD_LIGHT, BOARD_EDGE = "#2a493b", "#31543f", "#1d352b"
SILK, GOLD, SOLDER, BODY = "#dfe3d6", "#b78d54", "#aab1ab", "#25292b"


class Canvas:
    """`width` by `height` pixels, `scale` pixels a millimetre, the origin of the drawing at `origin` pixels."""

    def __init__(self, width: int, height: int, scale: float, origin: Point, ground: str = PAPER) -> None:
        self.size, self.scale, self.origin = (width, height), scale, origin
        self.image = Image.new("RGB", (width * OVER, height * OVER), ground)
        self.draw = ImageDraw.Draw(self.image)

    def pixel(self, point: Point) -> Point:
        """Where a point in millimetres lies in the finished picture."""
        return self.origin[0] + point[0] * self.scale, self.origin[1] + point[1] * self.scale

    def _at(self, point: Point) -> Point:
        x, y = self.pixel(point)
        return x * OVER, y * OVER

    def _length(self, millimetres: float) -> float:
        return millimetres * self.scale * OVER

    def _box(self, x: float, y: float, w: float, h: float) -> tuple[float, float, float, float]:
        return (*self._at((x, y)), *self._at((x + w, y + h)))

    def rect(self, x: float, y: float, w: float, h: float, fill: str, radius: float = 0.0, line: str = "") -> None:
        """A box with rounded corners."""
        edge = round(self._length(0.06)) if line else 0
        self.draw.rounded_rectangle(self._box(x, y, w, h), self._length(radius), fill, line or None, edge)

    def ellipse(self, x: float, y: float, w: float, h: float, fill: str, line: str = "", edge: float = 0.06) -> None:
        """An ellipse in a box."""
        self.draw.ellipse(self._box(x, y, w, h), fill, line or None, round(self._length(edge)) if line else 0)

    def polygon(self, points: Sequence[Point], fill: str) -> None:
        """A filled polygon."""
        self.draw.polygon([self._at(point) for point in points], fill)

    def line(self, points: Sequence[Point], colour: str, width: float) -> None:
        """A line with round joints."""
        self.draw.line([self._at(point) for point in points], colour, round(self._length(width)), "curve")

    def arc(self, x: float, y: float, w: float, h: float, span: tuple[float, float], colour: str, width: float) -> None:
        """Part of an ellipse's outline, degrees clockwise from three o'clock."""
        self.draw.arc(self._box(x, y, w, h), *span, colour, round(self._length(width)))

    def text(self, point: Point, words: str, height: float, colour: str, anchor: str = "mm", turn: int = 0) -> None:
        """Words of a letter height in millimetres; `turn` is 0 or 90 degrees."""
        font = ImageFont.load_default(size=self._length(height) * 1.38)
        if not turn:
            self.draw.text(self._at(point), words.replace("µ", "u"), colour, font, anchor)
            self._micro_stems(point, words, height, colour)
            return
        left, top, right, bottom = font.getbbox(words)
        tile = Image.new("L", (math.ceil(right - left) + 4, math.ceil(bottom - top) + 4))
        ImageDraw.Draw(tile).text((2 - left, 2 - top), words, 255, font)
        tile = tile.rotate(turn, expand=True)
        x, y = self._at(point)
        self.image.paste(colour, (round(x - tile.width / 2), round(y - tile.height / 2)), tile)

    def _micro_stems(self, point: Point, words: str, height: float, colour: str) -> None:
        """The typeface has no micro sign: the long stem is added to a u, in centred words."""
        for k, letter in enumerate(words):
            if letter == "µ":
                plain = words.replace("µ", "u")
                x = point[0] - self.words_width(plain, height) / 2 + self.words_width(plain[:k], height)
                stem = x + 0.135 * height
                self.line([(stem, point[1]), (stem, point[1] + 0.75 * height)], colour, 0.12 * height)

    def fitting(self, words: str, height: float, width: float) -> float:
        """A letter height, `height` at most, at which words are no wider than `width`."""
        return min(height, height * width / max(1e-9, self.words_width(words, height)))

    def words_width(self, words: str, height: float) -> float:
        """Millimetres that words take."""
        return float(ImageFont.load_default(size=self._length(height) * 1.38).getlength(words)) / self._length(1)

    def shadow(self, x: float, y: float, w: float, h: float, radius: float, spread: float = 1.0) -> None:
        """A soft shadow under a box, the light from the upper left."""
        mask = Image.new("L", (self.image.width // 4, self.image.height // 4))
        left, top, right, bottom = (v / 4 for v in self._box(x + 0.5 * spread, y + 0.6 * spread, w, h))
        ImageDraw.Draw(mask).rounded_rectangle((left, top, right, bottom), self._length(radius) / 4, 150)
        mask = mask.filter(ImageFilter.GaussianBlur(self._length(0.7 * spread) / 4)).resize(self.image.size)
        self.image.paste("#3a3a36", (0, 0), mask)
        self.draw = ImageDraw.Draw(self.image)

    def shade(self, x: float, y: float, w: float, h: float, radius: float, strength: float = 0.35) -> None:
        """Light from the left over a box, as on a lying can."""
        box = tuple(round(v) for v in self._box(x, y, w, h))
        wide, high = box[2] - box[0], box[3] - box[1]
        across = np.cos(np.linspace(-1.25, 1.25, high if wide > high else wide) + 0.35)
        level = (across - across.min()) / np.ptp(across)
        field = np.tile(level[:, None], (1, wide)) if wide > high else np.tile(level, (high, 1))
        tile = Image.fromarray(np.uint8(255 * (1 - strength + strength * field)))
        mask = Image.new("L", (wide, high))
        ImageDraw.Draw(mask).rounded_rectangle((0, 0, wide - 1, high - 1), self._length(radius), 255)
        part = self.image.crop((box[0], box[1], box[2], box[3]))
        lit = ImageChops.multiply(part, Image.merge("RGB", (tile, tile, tile)))
        self.image.paste(lit, (box[0], box[1]), mask)

    def finish(self, name: str) -> bytes:
        """The finished picture, reduced, lit unevenly and with grain: JPEG or PNG after the name, no metadata."""
        small = self.image.resize(self.size, Image.Resampling.LANCZOS)
        pixels = np.asarray(small, dtype=np.float32)
        rows, columns = np.mgrid[-1 : 1 : self.size[1] * 1j, -1 : 1 : self.size[0] * 1j].astype(np.float32)
        light = 1.02 - 0.055 * columns - 0.04 * rows - 0.03 * (columns**2 + rows**2)
        grain = np.random.default_rng(zlib.crc32(name.encode())).standard_normal(pixels.shape[:2])
        noise = 0.0 if name.endswith("png") else 1.5
        done = pixels * light[..., None] + noise * grain[..., None]
        picture = Image.fromarray(np.uint8(np.clip(np.round(done), 0, 255)))
        out = io.BytesIO()
        if name.endswith("png"):
            picture.quantize(192, dither=Image.Dither.NONE).save(out, "PNG", optimize=True)
        else:
            picture.save(out, "JPEG", quality=86, subsampling=0)
        return out.getvalue()
