"""The look as data: colour tokens of the light and the dark page, faces, shape and colour of each verdict.

What comes in: nothing. What goes out: tokens for the style sheet, the PDF template and the figures.
"""

import re
from typing import Literal

from partingline.model import Standing, Verdict
from partingline.publish.document import Status

LIGHT: dict[str, str] = {
    "paper": "#fbfaf6",
    "tint": "#f3eee3",
    "ink": "#20262b",
    "muted": "#62676a",
    "rule": "#ddd8cc",
    "copper": "#a8501f",
    "meets": "#2a6b58",
    "short": "#b3261e",
    "undecided": "#85650f",
    "slate": "#3d5f8c",
    "plum": "#7a4a7d",
}
DARK: dict[str, str] = {
    "paper": "#16191b",
    "tint": "#212628",
    "ink": "#e9e5da",
    "muted": "#9aa0a1",
    "rule": "#34393b",
    "copper": "#e08a52",
    "meets": "#74c2a6",
    "short": "#ff8a7a",
    "undecided": "#e0bb55",
    "slate": "#90b4e0",
    "plum": "#cf9fd2",
}
CURVES = ("copper", "meets", "slate", "plum", "undecided", "ink")
"""Tokens of the curves of a chart, in order."""

FIGURE_FACES = ("Partingline Figures", "Partingline Signs", "Partingline Serif", "Partingline Han")
TEXT_FACES = ("Partingline Serif", "Partingline Signs", "Partingline Han")

Shape = Literal["disc", "triangle", "half", "ring"]
GLYPHS: dict[Shape, str] = {"disc": "●", "triangle": "▼", "half": "◐", "ring": "○"}

_SHAPES: dict[Status, tuple[Shape, str]] = {
    Verdict.MEETS: ("disc", "meets"),
    Verdict.FALLS_SHORT: ("triangle", "short"),
    Verdict.UNDECIDED: ("half", "undecided"),
    Verdict.NOT_ENOUGH_DATA: ("ring", "muted"),
    Standing.SUPPORTED: ("disc", "meets"),
    Standing.CONTRADICTED: ("triangle", "short"),
    Standing.OPEN: ("ring", "muted"),
}
_VARIABLE = re.compile(r"var\(--([a-z]+)\)")


def shape_of(status: Status) -> Shape:
    """The shape that stands with the word of a verdict or standing."""
    return _SHAPES[status][0]


def token_of(status: Status) -> str:
    """The colour token of a verdict or standing."""
    return _SHAPES[status][1]


def concrete(svg: str, tokens: dict[str, str] = LIGHT) -> str:
    """A drawing with its `var(--token)` replaced by the colours of one palette; KeyError for unknown ones."""
    return _VARIABLE.sub(lambda match: tokens[match.group(1)], svg)
