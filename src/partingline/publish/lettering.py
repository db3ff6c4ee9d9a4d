"""Words drawn into pictures: each character in the first of the report's faces that has it.

What comes in: a pen of the picture library, words, a face and its size in pixels. What goes out: pixels.
"""

import io
from functools import cache
from itertools import groupby
from typing import Any

from partingline.publish.fonts import FONTS, held

_MORE = ("noto-sans-math-400-normal.ttf", "noto-sans-sc-400-normal.ttf")
TITLE = ("source-serif-4-600-normal.ttf", *_MORE)
TEXT = ("atkinson-hyperlegible-next-400-normal.ttf", *_MORE)
BOLD = ("atkinson-hyperlegible-next-600-normal.ttf", *_MORE)

_SPACES = {0x202F: " ", 0x2009: " "}
"""Thin spaces are too thin for the pixels of a picture."""

Face = tuple[str, ...]


def letter(pen: Any, place: tuple[float, float], words: str, face: Face, size: int, fill: str) -> None:
    """Write words with their baseline's left end at a place."""
    x, y = place
    for name, run in _runs(words, face):
        font = _font(name, size)
        pen.text((x, y), run, font=font, fill=fill, anchor="ls")
        x += pen.textlength(run, font=font)


def width(pen: Any, words: str, face: Face, size: int) -> float:
    """How wide words are, in pixels."""
    return float(sum(pen.textlength(run, font=_font(name, size)) for name, run in _runs(words, face)))


def _runs(words: str, face: Face) -> list[tuple[str, str]]:
    """Stretches of one face each; a character that none has is left to the first one's empty box."""
    plain = words.translate(_SPACES)
    chosen = [(next((name for name in face if _holds(name, ord(one))), face[0]), one) for one in plain]
    return [(name, "".join(one for _, one in run)) for name, run in groupby(chosen, key=lambda pair: pair[0])]


def _holds(name: str, code: int) -> bool:
    return any(first <= code <= last for first, last in held().get(name, ()))


@cache
def _font(name: str, size: int) -> Any:
    """A face at a size; the picture library's own where the faces are not set up."""
    from PIL import ImageFont

    try:
        return ImageFont.truetype(io.BytesIO((FONTS / name).read_bytes()), size)
    except OSError:  # the faces are set up by a separate step
        return ImageFont.load_default(size)
