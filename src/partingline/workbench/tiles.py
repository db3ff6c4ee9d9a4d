"""Photos as deep-zoom tiles: level n - 1 is the full size, each below it half, rounded up; level 0 is one pixel."""

import hashlib
import math
import os
import threading
from collections import OrderedDict
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from partingline.publish.compose.pictures import ENDINGS, MOST_BYTES
from partingline.readers.photos.opening import Picture as Opened
from partingline.readers.photos.opening import PictureError, open_picture, pixels
from partingline.workbench.api.answers import AnswerError

if TYPE_CHECKING:
    from PIL import Image

TILE = 512
SMALL = 640
_QUALITY = 88
_OPEN = 2
_QUICK = 3
"""Halvings that a JPEG's decoder does by itself."""
_lock = threading.Lock()
_levels: "OrderedDict[tuple[Path, int, int], dict[int, Image.Image]]" = OrderedDict()


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo of a unit, and where its tiles are kept."""

    file: Path
    cache: Path

    @property
    def mark(self) -> tuple[Path, int, int]:
        """What changes when the file does."""
        told = self.file.stat()
        return self.file, told.st_mtime_ns, told.st_size

    @property
    def version(self) -> str:
        """The same as a short text."""
        file, changed, size = self.mark
        return hashlib.sha256(f"{file.name}|{changed}|{size}".encode("utf-8", "surrogatepass")).hexdigest()[:24]


def find_picture(root: Path, cache: Path, name: str) -> Picture:
    """A photo by its name; AnswerError where it is not one that can be shown."""
    inside = (root / "photos").resolve()
    file = (inside / name).resolve()
    if "/" in name or file.parent != inside or not inside.is_relative_to(root) or not file.is_file():
        raise AnswerError(404, name[:100], "no such photo", "a file in photos/", "Look at the unit's photos.")
    if not name.lower().endswith(ENDINGS) or file.stat().st_size > MOST_BYTES:
        raise AnswerError(
            415, name[:100], "no photo", "a JPEG, PNG, WebP, HEIC or TIFF of at most 64 MiB", "Scale a copy."
        )
    return Picture(file, cache)


def size_of(picture: Picture) -> tuple[int, int]:
    """Width and height as a viewer shows it."""
    shown = _opened(picture)
    return shown.width, shown.height


def level_count(width: int, height: int) -> int:
    """How many levels there are, the full size included."""
    return math.ceil(math.log2(max(width, height, 1))) + 1


def tile(picture: Picture, level: int, x: int, y: int) -> bytes:
    """One tile as a JPEG; AnswerError where there is none."""
    width, height = size_of(picture)
    top = level_count(width, height) - 1
    scale = 2 ** (top - level) if 0 <= level <= top else 0
    if not scale or x < 0 or y < 0 or x * TILE >= math.ceil(width / scale) or y * TILE >= math.ceil(height / scale):
        raise AnswerError(404, picture.file.name, "no such tile", "level, column and row that info.json allows", "")
    kept = _kept(picture, f"{level}-{x}-{y}.jpg")
    if kept.is_file():
        return kept.read_bytes()
    image = _level(picture, top - level)
    box = (x * TILE, y * TILE, min((x + 1) * TILE, image.width), min((y + 1) * TILE, image.height))
    return _keep(kept, _jpeg(image.crop(box)))


def small(picture: Picture) -> bytes:
    """The photo at no more than SMALL pixels a side."""
    kept = _kept(picture, "small.jpg")
    if kept.is_file():
        return kept.read_bytes()
    width, height = size_of(picture)
    steps = max(0, math.floor(math.log2(max(1.0, max(width, height) / SMALL))))
    image = _level(picture, steps).copy()
    image.thumbnail((SMALL, SMALL))
    return _keep(kept, _jpeg(image))


def _level(picture: Picture, steps: int) -> "Image.Image":
    """The photo halved so many times; the levels of the latest photos stay at hand."""
    with _lock:
        levels = _levels.setdefault(picture.mark, {})
        _levels.move_to_end(picture.mark)
        while len(_levels) > _OPEN:
            _levels.popitem(last=False)
        if steps not in levels:
            done = max((known for known in levels if known < steps), default=None)
            if done is None:
                done = min(steps, _QUICK)
                levels[done] = _decoded(picture, done)
            image = levels[done]
            for step in range(done + 1, steps + 1):
                image = image.resize((-(-image.width // 2), -(-image.height // 2)), reducing_gap=None, resample=4)
                levels[step] = image
        return levels[steps]


def _decoded(picture: Picture, steps: int) -> "Image.Image":
    """The photo, halved so many times as it is decoded: a JPEG's decoder does that in a fraction of the time."""
    shown = _opened(picture)
    size = (-(-shown.width // 2**steps), -(-shown.height // 2**steps))
    try:
        return pixels(shown, size) if steps else pixels(shown)
    except PictureError as error:
        raise AnswerError(415, picture.file.name, error.found, error.expected, error.next_step) from error


def _opened(picture: Picture) -> Opened:
    try:
        return open_picture(picture.file)
    except PictureError as error:
        raise AnswerError(415, picture.file.name, error.found, error.expected, error.next_step) from error


def _jpeg(image: "Image.Image") -> bytes:
    out = BytesIO()
    image.save(out, "JPEG", quality=_QUALITY)
    return out.getvalue()


def _kept(picture: Picture, name: str) -> Path:
    return picture.cache / "tiles" / picture.version / name


def _keep(path: Path, data: bytes) -> bytes:
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f"{path.name}.{os.urandom(4).hex()}.part")
    beside.write_bytes(data)
    beside.replace(path)
    return data
