"""A card of 1200 × 630 pixels in the look of the page."""

import io
from typing import Any

from partingline.publish.document import Document, KeyFigure
from partingline.publish.lettering import BOLD, TEXT, TITLE, Face, letter, width
from partingline.publish.look import LIGHT

WIDTH, HEIGHT, MARGIN = 1200, 630, 72
MOST_FIGURES = 4
_LEADING, _ASCENT = 1.3, 0.95
"""Of a line: its height and the place of its baseline, in sizes of the face."""
_HAN, _NEVER_FIRST = 0x2E80, "，。；：、！？）」』》"


def social_card(document: Document, *, name: str = "") -> bytes:
    """The card of an article, as PNG."""
    from PIL import Image, ImageDraw

    picture = Image.new("RGB", (WIDTH, HEIGHT), LIGHT["paper"])
    pen = ImageDraw.Draw(picture)
    pen.rectangle((0, 0, WIDTH, 14), fill=LIGHT["copper"])
    top = 64
    top = _lines(pen, document.title, TITLE, 76, top, LIGHT["ink"], most=1) + 10
    top = _lines(pen, document.subtitle, TEXT, 34, top, LIGHT["muted"], most=1) + 26
    top = _lines(pen, "".join(span.text for span in document.lead), TEXT, 36, top, LIGHT["ink"], most=2)
    _figures(pen, document.key_figures[:MOST_FIGURES], 380)
    pen.line((MARGIN, 540, WIDTH - MARGIN, 540), fill=LIGHT["rule"], width=2)
    foot = " · ".join(filter(None, (name, document.notice)))
    _lines(pen, foot, TEXT, 24, 556, LIGHT["muted"], most=2)
    out = io.BytesIO()
    picture.save(out, "PNG", optimize=True)
    return out.getvalue()


def _lines(pen: Any, words: str, face: Face, size: int, top: int, colour: str, *, most: int) -> int:
    """Set words in lines of the card's width; what does not fit ends in an ellipsis. Returns the bottom."""
    for line in _broken(pen, words, face, size, most):
        letter(pen, (MARGIN, top + _ASCENT * size), line, face, size, colour)
        top += round(_LEADING * size)
    return top


def _broken(pen: Any, words: str, face: Face, size: int, most: int) -> list[str]:
    lines, line = [], ""
    for piece in _pieces(words):
        if line and width(pen, (line + piece).rstrip(), face, size) > WIDTH - 2 * MARGIN:
            lines.append(line.rstrip())
            line = piece
        else:
            line += piece
    lines.append(line.rstrip())
    if len(lines) > most:
        lines = [*lines[: most - 1], _cut(pen, lines[most - 1] + "…", face, size, WIDTH - 2 * MARGIN)]
    return [one for one in lines if one]


def _pieces(words: str) -> list[str]:
    """Where a line may break: behind a space, and between two Chinese characters."""
    pieces: list[str] = []
    for one in words:
        fresh = not pieces or pieces[-1].endswith(" ") or (ord(one) >= _HAN and one not in _NEVER_FIRST)
        if fresh:
            pieces.append(one)
        else:
            pieces[-1] += one
    return pieces


def _cut(pen: Any, words: str, face: Face, size: int, room: float) -> str:
    """Words that fit, with an ellipsis where some were left out."""
    while len(words) > 1 and width(pen, words, face, size) > room:
        words = words[:-2].rstrip() + "…"
    return words


def _figures(pen: Any, figures: tuple[KeyFigure, ...], top: int) -> None:
    step = (WIDTH - 2 * MARGIN) / max(len(figures), 1)
    for index, figure in enumerate(figures):
        x = MARGIN + index * step
        amount = f"{figure.amount.value} {figure.amount.unit}".rstrip()
        letter(pen, (x, top + 44), amount, BOLD, 46, LIGHT["copper"])
        caption = _cut(pen, figure.caption, TEXT, 22, step - 16)
        letter(pen, (x, top + 81), caption, TEXT, 22, LIGHT["muted"])
