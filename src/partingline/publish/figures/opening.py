"""Taking a unit apart: the steps as a strip of pictures, and what came off as pieces drawn out along one axis.

What comes in: frames with a number, words and perhaps a picture. What goes out: an SVG.
"""

import base64
import io
from collections.abc import Sequence
from dataclasses import dataclass

from partingline.model import Region
from partingline.publish.figures.photo import FULL, page_picture
from partingline.publish.figures.svg import drawing, element, text, wrapped

_ACROSS, _GAP = 4, 16.0
_WORDS, _LINE = 12.0, 15.5
_SMALLEST, _LARGEST = 110.0, 200.0


@dataclass(frozen=True, slots=True)
class Frame:
    """One step: its number, what is said of it, and the encoded picture of it, of which `region` is shown."""

    number: int
    words: str
    tool: str = ""
    picture: bytes = b""
    region: Region | None = None


def opening_strip(frames: Sequence[Frame]) -> str:
    """The steps in the order of work, at most four in a row, numbered, with what was done below each."""
    width = (FULL - (_ACROSS - 1) * _GAP) / _ACROSS
    height = width * 0.75 if any(frame.picture for frame in frames) else 0.0
    inner, top = "", 0.0
    for start in range(0, len(frames), _ACROSS):
        row = frames[start : start + _ACROSS]
        said = [_said(frame, width) for frame in row]
        for column, (frame, lines) in enumerate(zip(row, said, strict=True)):
            x = column * (width + _GAP)
            inner += _shown(frame, x, top, width, height) if height else ""
            inner += _number(frame.number, x, top)
            inner += _lines(lines, x, top + max(height, 30.0) + 17)
        top += max(height, 30.0) + 14 + _LINE * max(len(lines) for lines in said) + 14
    return drawing(FULL, max(top, 40.0), inner)


def exploded_order(pieces: Sequence[Frame]) -> str:
    """What came off, from the outside in, staggered along one axis as it would be put together again."""
    count = len(pieces)
    width = min(max(FULL / (1.2 * count), _SMALLEST), _LARGEST)
    height, pitch = 0.75 * width, (FULL - width) / max(count - 1, 1)
    rows = 1 if pitch >= width + _GAP else 2
    step = height + 2 * _LINE + 12
    middle = 2 + step * (rows - 1) / 2 + height / 2
    inner = element(
        "line", x1=0, x2=FULL, y1=middle, y2=middle, stroke="var(--muted)", stroke_dasharray="12 4 2 4", stroke_width=1
    )
    for at, piece in enumerate(pieces):
        x, y = at * pitch, 2 + step * (at % rows)
        inner += _shown(piece, x, y, width, height) + _number(piece.number, x, y)
        inner += _lines([(line, "var(--ink)") for line in wrapped(piece.words, _WORDS, width)[:2]], x, y + height + 16)
    return drawing(FULL, 2 + step * rows, inner)


def _said(frame: Frame, width: float) -> list[tuple[str, str]]:
    lines = [(line, "var(--ink)") for line in wrapped(frame.words, _WORDS, width)]
    return lines + [(line, "var(--muted)") for line in wrapped(frame.tool, _WORDS, width)]


def _lines(lines: Sequence[tuple[str, str]], x: float, y: float) -> str:
    return "".join(text(x, y + _LINE * at, words, size=_WORDS, fill=fill) for at, (words, fill) in enumerate(lines))


def _shown(frame: Frame, x: float, y: float, width: float, height: float) -> str:
    """The picture fitted into its frame, whole; an empty frame where there is none or it cannot be read."""
    ground = element("rect", x=x, y=y, width=width, height=height, fill="var(--tint)", stroke="var(--rule)")
    if not frame.picture:
        return ground
    try:
        media, data = _cut(frame)
    except Exception:  # a broken file can fail in any way inside a decoder; the report must come all the same
        return ground + text(x + width / 2, y + height / 2, "unreadable", anchor="middle", size=11, fill="var(--muted)")
    encoded = base64.b64encode(data).decode("ascii")
    return ground + element("image", x=x, y=y, width=width, height=height, href=f"data:{media};base64,{encoded}")


def _cut(frame: Frame) -> tuple[str, bytes]:
    """The picture without its metadata; only the region of it where one is named."""
    if frame.region is None:
        return page_picture(frame.picture)
    from PIL import Image

    from partingline.readers.photos.opening import as_shown

    with Image.open(io.BytesIO(frame.picture)) as original:
        whole = as_shown(original)
        region = frame.region
        piece = whole.crop((int(region.x), int(region.y), int(region.x + region.w), int(region.y + region.h)))
        piece.thumbnail((600, 600))
        out = io.BytesIO()
        piece.save(out, "JPEG", quality=84)
    return "image/jpeg", out.getvalue()


def _number(number: int, x: float, y: float) -> str:
    disc = element("circle", cx=x + 15, cy=y + 15, r=10, fill="#ffffff", stroke="#16191b", stroke_width=0.8)
    return disc + text(x + 15, y + 19.2, str(number), size=12, fill="#16191b", anchor="middle", weight=600)
