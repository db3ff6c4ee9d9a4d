"""The main board, 39 by 36 mm, from above and from below; primary on the left in both."""

import zlib

import numpy as np

from model.photos import parts as p
from model.photos.barrier import SLOT_END, SLOT_X, pads
from model.photos.canvas import BOARD, BOARD_EDGE, BOARD_LIGHT, GOLD, INK, SOLDER, Canvas
from model.truth import BARRIER

WIDTH, HEIGHT = 39.0, 36.0
EDGE = [(0.0, 0.0), (WIDTH, 0.0), (WIDTH, HEIGHT), (0.0, HEIGHT)]
SCALE = 46.0
Box = tuple[float, float, float, float]

BOTTOM: dict[str, Box] = {
    "R1": (2.4, 2.2, 3.2, 1.6), "R2": (2.4, 5.0, 3.2, 1.6),
    "BR1": (2.6, 9.4, 6.0, 5.2), "R11": (2.8, 18.0, 6.2, 3.0),
    "D1": (11.4, 17.2, 4.2, 2.5), "C10": (11.8, 21.2, 3.2, 1.6),
    "Q1": (11.2, 3.6, 6.4, 6.2), "R10": (12.6, 12.4, 3.2, 1.6),
    "U1": (11.0, 26.0, 4.2, 5.0), "U2": (20.4, 27.6, 8.2, 3.6),
    "Q4": (30.4, 4.6, 5.0, 6.0), "U3": (34.0, 14.2, 2.9, 1.8),
}  # fmt: skip
TOP: dict[str, Box] = {
    "F1": (1.2, 1.0, 8.2, 4.2), "RT1": (10.0, 1.1, 10.4, 3.8),
    "C1": (1.2, 6.6, 6.2, 13.2), "L1": (1.2, 20.8, 10.6, 10.2),
    "L2": (12.0, 31.0, 4.6, 4.6), "C3": (12.2, 20.9, 10.0, 10.0),
    "C4": (7.9, 6.0, 14.4, 14.4), "C7": (2.0, 31.3, 4.4, 4.4),
    "T1": (23.2, 1.2, 14.6, 15.2), "C11": (20.6, 31.4, 7.8, 3.4),
    "C15": (29.8, 17.6, 7.8, 7.8), "C16": (29.8, 26.4, 7.8, 7.8),
}  # fmt: skip
MARKING = {
    "R1": "105", "R2": "105", "BR1": "NB408", "R11": "363", "D1": "M7", "Q1": "QN650R15", "R10": "R100", "U1": "NQ65A",
    "U2": "IS40", "Q4": "NR150-8", "U3": "NS21",
}  # fmt: skip


def _bare(name: str) -> Canvas:
    c = Canvas(2000, 1860, SCALE, (103.0, 66.0))
    c.shadow(0, 0, WIDTH, HEIGHT, 1.2, 1.6)
    c.rect(0, 0, WIDTH, HEIGHT, BOARD, 1.0, BOARD_EDGE)
    _traces(c, name)
    return c


def _traces(c: Canvas, name: str) -> None:
    """Copper under the mask: lighter areas and lines on each side, none in the barrier."""
    rng = np.random.default_rng(zlib.crc32(name.encode()))
    for left, right in ((1.0, SLOT_X - 4.6), (SLOT_X + 4.6, WIDTH - 1.0)):
        for _ in range(9):
            w, h = rng.uniform(2.5, 6.5), rng.uniform(1.5, 5.0)
            x, y = rng.uniform(left, max(left, right - w)), rng.uniform(1.0, HEIGHT - 1.0 - h)
            c.rect(x, y, min(w, right - x), h, BOARD_LIGHT, 0.4)
        for _ in range(26):
            x, y = rng.uniform(left, right - 1.5), rng.uniform(1.2, HEIGHT - 1.2)
            run, rise = rng.uniform(1.0, 5.0), float(rng.choice([-1.2, 0.0, 1.2]))
            end = min(right, x + run)
            bend = float(np.clip(y + rise, 1.0, HEIGHT - 1.0))
            c.line([(x, y), ((x + end) / 2, y), ((x + end) / 2 + abs(rise) / 3, bend), (end, bend)], "#365a45", 0.22)
            p.via(c, end, bend)


def _slot(c: Canvas) -> None:
    half = BARRIER.slot / 2
    c.rect(SLOT_X - half, 1.0, BARRIER.slot, SLOT_END - 1.0, "#d2cdbf", half)
    c.rect(SLOT_X - half, -0.02, BARRIER.slot, 2.0, "#d2cdbf")
    c.line([(SLOT_X - half, 0.0), (SLOT_X - half, SLOT_END - half)], "#8f9183", 0.07)


def _ruler(c: Canvas) -> None:
    """A steel rule under the board: 30 mm from x = 2."""
    top = HEIGHT + 0.7
    c.shadow(0.6, top, 34.6, 2.0, 0.1, 0.4)
    c.rect(0.6, top, 34.6, 2.4, "#c6c9c6", 0.1)
    for k in range(31):
        c.line([(2 + k, top), (2 + k, top + (1.0 if k % 5 == 0 else 0.6))], INK, 0.06)
        if k % 10 == 0:
            c.text((2 + k, top + 1.55), str(k) if k else "mm", 0.7, INK)


RULER = ((2.0, HEIGHT + 0.7), (32.0, HEIGHT + 0.7))  # the marks 0 and 30 of the rule


def bottom() -> Canvas:
    """The soldered face with the surface-mount parts, the slot and the two pads of the barrier."""
    c = _bare("main bottom")
    for outline in pads():
        c.polygon(outline, "#a97f49")
        for k in range(3):
            x = sum(px for px, _ in outline) / 4 - 0.9 + 0.9 * k
            c.ellipse(x - 0.75, 16.6 + 1.9 * k, 1.5, 1.5, SOLDER)
    _slot(c)
    for ref, box in BOTTOM.items():
        _place(c, ref, box)
    x, y, w, h = BOTTOM["R11"]
    p.chip(c, (x, y + h + 0.8, w, h), "363")
    _joints(c)
    p.silk(c, (34.0, 34.6), "FM-T65 M rev C")
    p.silk(c, (4.6, 33.6), "L        N")
    p.silk(c, (SLOT_X, 33.4), "- - - barrier - - -", 0.62)
    _ruler(c)
    return c


def _place(c: Canvas, ref: str, box: Box) -> None:
    marking = MARKING.get(ref, "")
    if ref[0] in "RD":
        p.chip(c, box, marking)
    elif ref[0] == "C":
        p.chip(c, box, marking, "#9a7b52")
    elif ref == "BR1":
        p.package(c, box, marking, 2)
    elif ref[0] == "Q":
        p.package(c, box, marking, 4, "t", "b")
    else:
        p.package(c, box, marking, {"U1": 5, "U2": 2, "U3": 3}[ref], "tb" if ref == "U3" else "lr")
    x, y, w, h = box
    below = y + h + (1.25 if ref not in ("R1", "R2", "C10", "R10", "D1", "R11") else 0.75)
    if ref not in ("R11",):
        p.silk(c, (x + w / 2, below), ref, 0.75)


def _joints(c: Canvas) -> None:
    """Solder joints of the leaded parts of the other face, and a few small chips without a marking."""
    for x, y in ((3.0, 31.4), (6.4, 31.4), (9.6, 16.2), (9.6, 6.2), (18.0, 30.6), (18.4, 33.4),
                 (32.4, 19.4), (35.2, 19.4), (32.4, 28.4), (35.2, 28.4)):  # fmt: skip
        c.ellipse(x - 0.8, y - 0.8, 1.6, 1.6, GOLD)
        c.ellipse(x - 0.6, y - 0.65, 1.2, 1.2, SOLDER)
        c.ellipse(x - 0.35, y - 0.45, 0.4, 0.4, "#e1e5e0")
    for x, y in (
        (8.2, 25.2),
        (8.2, 27.4),
        (17.2, 25.6),
        (17.2, 27.8),
        (33.6, 23.2),
        (30.6, 24.8),
        (36.2, 11.6),
        (9.0, 30.0),
    ):
        p.chip(c, (x, y, 1.6, 0.8), "", "#9a7b52")


def top() -> Canvas:
    """The face with the tall parts."""
    c = _bare("main top")
    _slot(c)
    p.box_part(c, TOP["F1"], ("T3.15A", "H 250V"), "#8e9692")
    p.box_part(c, TOP["RT1"], ("5D-11",), "#26312d", "#d5d8cf")
    p.box_part(c, TOP["C1"], ("334K", "310V~", "X2"), "#c8a648")
    p.toroid(c, TOP["L1"])
    p.standing_can(c, TOP["L2"], ("470",), "#4b4f50")
    p.standing_can(c, TOP["C4"], ("82µF", "400V"))
    p.standing_can(c, TOP["C3"], ("27µF", "400V"))
    p.standing_can(c, TOP["C7"], ("22", "50V"))
    p.transformer(c, TOP["T1"], "TQ25-65")
    p.disc(c, TOP["C11"], "102M Y1 400V~", "#2f5c86")
    for ref in ("C15", "C16"):
        p.standing_can(c, TOP[ref], ("560", "25V"), "#c3c6c3")
    for ref, x, y in (("F1", 5.2, 5.7), ("RT1", 20.6, 5.6), ("L1", 6.5, 31.5), ("C3", 22.6, 23.0), ("C4", 21.6, 19.9),
                      ("T1", 30.4, 17.0), ("C11", 24.5, 30.7),
                      ("C15", 28.6, 24.9), ("C16", 33.6, 34.9), ("L2", 17.6, 34.6)):  # fmt: skip
        p.silk(c, (x, y), ref, 0.75)
    _ruler(c)
    return c
