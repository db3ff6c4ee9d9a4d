"""SVG written by hand: elements, numbers, and the width of text without a font at hand.

What comes in: names, numbers, texts. What goes out: escaped markup with fixed number formats.
"""

from html import escape

from partingline.publish.look import FIGURE_FACES
from partingline.publish.printable import printable

FACE = ",".join(f"'{face}'" for face in FIGURE_FACES) + ",sans-serif"
_NARROW = frozenset("iljtfrI.,:;|!'()[] ·/1")
_WIDE = frozenset("mwMWΩ%—@±…")


def number(value: float) -> str:
    """A coordinate with at most two decimals."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def element(name: str, inner: str = "", **attributes: float | str | None) -> str:
    """`<name …>inner</name>`; `_` in attribute names stands for `-`, None leaves an attribute out."""
    pairs = "".join(
        f' {key.strip("_").replace("_", "-")}="{_value(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{pairs}>{inner}</{name}>" if inner else f"<{name}{pairs}/>"


def text(
    x: float,
    y: float,
    words: str,
    *,
    size: float = 12,
    fill: str = "var(--ink)",
    anchor: str = "start",
    weight: int | None = None,
) -> str:
    """One line of text with its baseline at `y`; `words` are escaped. Anchor is start, middle or end."""
    return element(
        "text",
        escape(printable(words)),
        x=x,
        y=y,
        font_size=size,
        fill=fill,
        text_anchor=None if anchor == "start" else anchor,
        font_weight=weight,
    )


def drawing(width: float, height: float, inner: str) -> str:
    """The `<svg>` element around a drawing of `width` × `height` units."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(width)} {number(height)}" '
        f'width="{number(width)}" height="{number(height)}" font-family="{escape(FACE)}">{inner}</svg>'
    )


def text_width(words: str, size: float) -> float:
    """About how wide a line is set in the figure face: rather too wide than too narrow."""
    return size * sum(_advance(character) for character in words)


def fitted(words: str, size: float, room: float) -> str:
    """`words`, or as much of them as fits into `room`, closed with an ellipsis."""
    if text_width(words, size) <= room:
        return words
    while words and text_width(words + "…", size) > room:
        words = words[:-1]
    return words.rstrip() + "…"


def wrapped(words: str, size: float, room: float) -> list[str]:
    """`words` broken at blanks into lines no wider than `room`; a word too long for a line is cut short."""
    lines: list[str] = []
    for word in words.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(joined, size) <= room:
            lines[-1] = joined
        else:
            lines.append(fitted(word, size, room))
    return lines


def points(path: list[tuple[float, float]]) -> str:
    """Coordinates for the `points` of a polyline."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in path)


def _advance(character: str) -> float:
    if character in _NARROW:
        return 0.34
    if character in _WIDE or ord(character) > 0x2E80:
        return 0.95
    return 0.67 if character.isupper() else 0.585


def _value(value: float | str | None) -> str:
    return escape(printable(value)) if isinstance(value, str) else number(float(value or 0))
