"""How parts look from above. Each function draws one part into a box in millimetres."""

import math

from model.photos.canvas import BODY, GOLD, INK, SILK, SOLDER, Canvas

Box = tuple[float, float, float, float]
PRINT = "#c4c8c0"


def chip(c: Canvas, box: Box, marking: str = "", colour: str = "#1f2223") -> None:
    """A two-terminal surface-mount part, ends on the long axis."""
    x, y, w, h = box
    along = w >= h
    pad = 0.28 * (w if along else h)
    for far in (0, 1):
        if along:
            c.rect(x - 0.35 + far * (w + 0.7 - pad), y - 0.1, pad, h + 0.2, SOLDER, 0.12)
        else:
            c.rect(x - 0.1, y - 0.35 + far * (h + 0.7 - pad), w + 0.2, pad, SOLDER, 0.12)
    c.rect(x, y, w, h, "#c9ccc6", 0.08)
    inset = 0.17 * (w if along else h)
    c.rect(x + inset * along, y + inset * (not along), w - 2 * inset * along, h - 2 * inset * (not along), colour)
    if marking:
        size = c.fitting(marking, min(0.42 * min(w, h), 0.8), 0.6 * max(w, h))
        c.text((x + w / 2, y + h / 2), marking, size, PRINT, turn=0 if along else 90)


def package(c: Canvas, box: Box, marking: str, pins: int, sides: str = "lr", tab: str = "") -> None:
    """A moulded package: `pins` a side on the sides named; `tab` is the side of a metal tab."""
    x, y, w, h = box
    for side in sides:
        for k in range(pins):
            if side in "lr":
                at = y + h * (k + 0.5) / pins
                c.rect(x - 0.75 if side == "l" else x + w - 0.1, at - 0.19, 0.85, 0.38, SOLDER, 0.05)
            else:
                at = x + w * (k + 0.5) / pins
                c.rect(at - 0.19, y - 0.75 if side == "t" else y + h - 0.1, 0.38, 0.85, SOLDER, 0.05)
    if tab == "t":
        c.rect(x + 0.06 * w, y - 0.7, 0.88 * w, 0.9, SOLDER, 0.1)
    if tab == "b":
        c.rect(x + 0.06 * w, y + h - 0.2, 0.88 * w, 0.9, SOLDER, 0.1)
    c.rect(x, y, w, h, BODY, 0.14, "#363b3d")
    c.ellipse(x + 0.28, y + 0.28, 0.4, 0.4, "#4a5052")
    size = c.fitting(marking, min(0.3 * h, 1.1), 0.8 * w)
    c.text((x + w / 2, y + h / 2 + 0.1), marking, size, PRINT)


def standing_can(c: Canvas, box: Box, lines: tuple[str, ...], colour: str = "#b3b7b4") -> None:
    """A standing polymer or electrolytic capacitor from above, its minus side dark."""
    x, y, w, h = box
    c.shadow(x, y, w, h, w / 2, 0.9)
    c.ellipse(x, y, w, h, "#777c7a")
    c.ellipse(x + 0.25, y + 0.25, w - 0.5, h - 0.5, colour)
    c.arc(x + 0.25, y + 0.25, w - 0.5, h - 0.5, (120, 240), "#3c4750", 0.16 * w)
    for k, words in enumerate(lines):
        c.text((x + 0.57 * w, y + h * (0.42 + 0.2 * k)), words, 0.14 * h, INK)


def disc(c: Canvas, box: Box, marking: str, colour: str, ink: str = "#e6e4da") -> None:
    """A disc on edge-bent leads, seen from the side of its marking."""
    x, y, w, h = box
    c.shadow(x, y, w, h, w / 2, 0.7)
    c.ellipse(x, y, w, h, colour)
    c.shade(x, y, w, h, min(w, h) / 2, 0.25)
    c.text((x + w / 2, y + h / 2), marking, c.fitting(marking, 0.3 * h, 0.74 * w), ink)


def box_part(c: Canvas, box: Box, lines: tuple[str, ...], colour: str, ink: str = INK) -> None:
    """A moulded box: film capacitor, fuse, choke."""
    x, y, w, h = box
    c.shadow(x, y, w, h, 0.3, 0.9)
    c.rect(x, y, w, h, colour, 0.35, "#2f3335")
    c.rect(x + 0.12, y + 0.12, w - 0.24, h - 0.24, colour, 0.3)
    size = min(c.fitting(words, min(0.2 * h, 1.3), 0.8 * w) for words in lines)
    for k, words in enumerate(lines):
        shift = (k - (len(lines) - 1) / 2) * 1.75 * size
        c.text((x + w / 2, y + h / 2 + shift), words, size, ink)


def toroid(c: Canvas, box: Box) -> None:
    """A common-mode choke from above: ring core, two windings of enamelled copper."""
    x, y, w, h = box
    c.shadow(x, y, w, h, w / 2, 0.9)
    c.ellipse(x, y, w, h, "#3f4a46")
    c.ellipse(x + 0.28 * w, y + 0.28 * h, 0.44 * w, 0.44 * h, "#24382f")
    middle = (x + w / 2, y + h / 2)
    for first in (-62, 118):
        for k in range(13):
            turn = math.radians(first + k * 10.4)
            inner, outer = (
                (middle[0] + r * w * math.cos(turn), middle[1] + r * h * math.sin(turn)) for r in (0.23, 0.49)
            )
            c.line([inner, outer], "#a5673a" if k % 2 else "#bb7d4b", 0.62)


def transformer(c: Canvas, box: Box, marking: str) -> None:
    """Core halves, taped winding, flux band."""
    x, y, w, h = box
    c.shadow(x, y, w, h, 0.5, 1.3)
    c.rect(x, y, w, h, "#34383a", 0.5)
    c.rect(x + 0.07 * w, y + 0.16 * h, 0.86 * w, 0.68 * h, "#c9a65a", 0.7)
    c.shade(x + 0.07 * w, y + 0.16 * h, 0.86 * w, 0.68 * h, 0.7, 0.3)
    c.rect(x, y + 0.4 * h, w, 0.2 * h, "#a8794a")
    c.text((x + w / 2, y + 0.3 * h), marking, 0.085 * h, INK)


def receptacle(c: Canvas, box: Box, kind: str) -> None:
    """A metal receptacle shell from above, its mouth at the right."""
    x, y, w, h = box
    c.shadow(x, y, w, h, 0.3, 0.8)
    c.rect(x, y, w, h, "#b9bdbb", 0.3)
    c.shade(x, y, w, h, 0.3, 0.22)
    c.rect(x + 0.12 * w, y + 0.14 * h, 0.2 * w, 0.06 * h, "#8b908e", 0.05)
    c.rect(x + 0.12 * w, y + 0.8 * h, 0.2 * w, 0.06 * h, "#8b908e", 0.05)
    c.text((x + 0.6 * w, y + h / 2), kind, 0.13 * h, "#70767a", turn=90)


def silk(c: Canvas, point: tuple[float, float], words: str, size: float = 0.8, turn: int = 0) -> None:
    """Printing on the board."""
    c.text(point, words, size, SILK, turn=turn)


def via(c: Canvas, x: float, y: float) -> None:
    """A plated hole."""
    c.ellipse(x - 0.28, y - 0.28, 0.56, 0.56, GOLD)
    c.ellipse(x - 0.13, y - 0.13, 0.26, 0.26, "#1a2a23")
