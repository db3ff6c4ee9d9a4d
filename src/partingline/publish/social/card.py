"""A card of 1200 × 630 pixels in the look of the page."""

import io
from importlib.resources import files
from typing import Any

from partingline.publish.document import Document, KeyFigure
from partingline.publish.look import LIGHT

WIDTH, HEIGHT, MARGIN = 1200, 630, 72
_TITLE, _TEXT = "source-serif-4-600-normal.ttf", "atkinson-hyperlegible-next-400-normal.ttf"
BOLD = "atkinson-hyperlegible-next-600-normal.ttf"
MOST_FIGURES = 4


def social_card(document: Document, *, name: str = "") -> bytes:
    """The card of an article, as PNG. Characters that the faces lack are left to the picture library's fallback."""
    from PIL import Image, ImageDraw

    picture = Image.new("RGB", (WIDTH, HEIGHT), LIGHT["paper"])
    pen = ImageDraw.Draw(picture)
    pen.rectangle((0, 0, WIDTH, 14), fill=LIGHT["copper"])
    top = 64
    top = _lines(pen, document.title, font_of(_TITLE, 76), top, LIGHT["ink"], most=1) + 10
    top = _lines(pen, document.subtitle, font_of(_TEXT, 34), top, LIGHT["muted"], most=1) + 26
    top = _lines(pen, "".join(span.text for span in document.lead), font_of(_TEXT, 36), top, LIGHT["ink"], most=2)
    _figures(pen, document.key_figures[:MOST_FIGURES], 380)
    pen.line((MARGIN, 540, WIDTH - MARGIN, 540), fill=LIGHT["rule"], width=2)
    foot = " · ".join(filter(None, (name, document.notice)))
    _lines(pen, foot, font_of(_TEXT, 24), 556, LIGHT["muted"], most=2)
    out = io.BytesIO()
    picture.save(out, "PNG", optimize=True)
    return out.getvalue()


def font_of(name: str, size: int) -> Any:
    """A face of the report at a size in pixels; the picture library's own where the faces are not set up."""
    from PIL import ImageFont

    path = files("partingline.publish") / "assets" / "fonts" / name
    try:
        return ImageFont.truetype(io.BytesIO(path.read_bytes()), size)
    except OSError:  # the faces are set up by a separate step; without them the library's own is used
        return ImageFont.load_default(size)


def _lines(pen: Any, text: str, font: Any, top: int, colour: str, *, most: int) -> int:
    """Set a text in lines of the card's width; what does not fit ends in an ellipsis. Returns the bottom."""
    height = round(font.size * 1.3)
    for line in _broken(pen, text, font, most):
        pen.text((MARGIN, top), line, font=font, fill=colour)
        top += height
    return top


def _broken(pen: Any, text: str, font: Any, most: int) -> list[str]:
    width = WIDTH - 2 * MARGIN
    lines, line = [], ""
    pieces = text.split(" ") if " " in text else list(text)
    joint = " " if " " in text else ""
    for piece in pieces:
        longer = f"{line}{joint}{piece}" if line else piece
        if pen.textlength(longer, font=font) <= width:
            line = longer
            continue
        lines.append(line)
        line = piece
    lines.append(line)
    if len(lines) > most:
        last = lines[most - 1]
        while last and pen.textlength(last + "…", font=font) > width:
            last = last[:-1]
        lines = [*lines[: most - 1], last + "…"]
    return [one for one in lines if one]


def _figures(pen: Any, figures: tuple[KeyFigure, ...], top: int) -> None:
    step = (WIDTH - 2 * MARGIN) / max(len(figures), 1)
    value, caption = font_of(BOLD, 46), font_of(_TEXT, 22)
    for index, figure in enumerate(figures):
        x = MARGIN + index * step
        pen.text((x, top), f"{figure.amount.value} {figure.amount.unit}".rstrip(), font=value, fill=LIGHT["copper"])
        words = figure.caption
        while words and pen.textlength(words, font=caption) > step - 16:
            words = words[:-2].rstrip() + "…"
        pen.text((x, top + 60), words, font=caption, fill=LIGHT["muted"])
