"""The output board's two faces, the label and the closed charger."""

import zlib

import numpy as np

from model.photos import parts as p
from model.photos.canvas import BOARD, BOARD_EDGE, BOARD_LIGHT, COPPER, GOLD, INK, Canvas
from model.truth import CASE
from model.unitfile import LABEL

Box = tuple[float, float, float, float]
FACE = 27.0  # mm, width and about the height of a face of the output board
GAP = 3.0
OUTPUT: dict[str, Box] = {
    "J1": (18.6, 1.4, 9.0, 9.0), "J2": (14.4, 11.6, 13.2, 12.4),
    "U4": (5.6, 3.0, 4.4, 4.4), "Q6": (12.4, 3.2, 3.3, 3.3),
    "R30": (11.4, 8.7, 6.0, 1.6), "C18": (5.8, 10.6, 3.2, 1.6),
    "U6": (36.0, 5.0, 4.2, 4.2), "L3": (43.6, 4.0, 7.2, 7.2),
    "U5": (36.6, 14.6, 3.0, 1.8),
}  # fmt: skip


def output_board() -> Canvas:
    """Top face left, bottom face right."""
    c = Canvas(2140, 1090, 36.0, (46.0, 92.0))
    rng = np.random.default_rng(zlib.crc32(b"output board"))
    for left in (0.0, FACE + GAP):
        c.shadow(left, 0, FACE, 25.0, 0.8, 1.2)
        c.rect(left, 0, FACE, 25.0, BOARD, 0.8, BOARD_EDGE)
        for _ in range(14):
            x, y = left + rng.uniform(1, 18), rng.uniform(1, 19)
            c.rect(x, y, rng.uniform(2, 7), rng.uniform(1, 5), BOARD_LIGHT, 0.3)
        for k in range(6):
            c.rect(left + (0.6 if left == 0 else FACE - 2.2), 3.0 + 3.4 * k, 1.6, 1.8, GOLD, 0.2)
    p.receptacle(c, OUTPUT["J1"], "C1")
    p.receptacle(c, OUTPUT["J2"], "A1")
    p.package(c, OUTPUT["U4"], "FP65C", 6, "lrtb")
    p.package(c, OUTPUT["Q6"], "P30-12D", 4, "lr")
    p.chip(c, OUTPUT["R30"], "R005")
    p.chip(c, OUTPUT["C18"], "", "#9a7b52")
    p.package(c, OUTPUT["U6"], "NB36Q", 4, "lrtb")
    p.box_part(c, OUTPUT["L3"], ("100",), "#4c5152", "#d5d8cf")
    p.package(c, OUTPUT["U5"], "FA18", 3, "tb")
    for x, y in (
        (4.0, 14.6),
        (7.4, 14.6),
        (4.0, 17.0),
        (8.2, 19.4),
        (37.0, 11.6),
        (41.6, 13.6),
        (33.4, 6.0),
        (33.4, 9.0),
    ):
        p.chip(c, (x, y, 1.6, 0.8), "", "#9a7b52")
    for ref, x, y in (("U4", 7.8, 9.0), ("Q6", 14.0, 7.4), ("R30", 14.4, 11.0), ("C18", 7.4, 13.0), ("U6", 38.1, 10.8),
                      ("L3", 47.2, 12.2), ("U5", 38.1, 18.0)):  # fmt: skip
        p.silk(c, (x, y), ref, 0.75)
    p.silk(c, (7.0, 23.6), "FM-T65 O rev B")
    return c


def label() -> Canvas:
    """The rating label as printed on the case, with exactly the text of `unit.toml`."""
    c = Canvas(2000, 1400, 50.0, (0.0, 0.0), "#2b3033")
    c.rect(1.2, 1.2, 37.6, 25.6, "#31373a", 1.4)
    lines = LABEL.splitlines()
    maker, _, model = lines[0].partition("  ")
    c.text((3.4, 3.9), maker, 1.9, "#f0ece0", "lm")
    c.text((36.6, 3.9), model, 1.5, "#f0ece0", "rm")
    c.line([(3.4, 5.6), (36.6, 5.6)], "#e08a52", 0.08)
    for k, words in enumerate(lines[1:]):
        _label_line(c, 3.4, 7.4 + 1.85 * k, words)
    _marks(c)
    return c


def _label_line(c: Canvas, x: float, y: float, words: str) -> None:
    """Text with the direct-current sign drawn, since few typefaces have it."""
    height = 1.06
    for k, piece in enumerate(words.split("⎓")):
        if k:
            c.line([(x + 0.12, y - 0.2), (x + 1.0, y - 0.2)], "#e7e3d8", 0.1)
            for dash in range(3):
                c.line([(x + 0.12 + 0.33 * dash, y + 0.22), (x + 0.34 + 0.33 * dash, y + 0.22)], "#e7e3d8", 0.1)
            x += 1.14
        c.text((x, y), piece, height, "#e7e3d8", "lm")
        x += c.words_width(piece, height)


def _marks(c: Canvas) -> None:
    """The squares of class II, a house for indoor use, and the efficiency numeral in a circle."""
    ink, ground = "#e7e3d8", "#31373a"
    for size, shift in ((2.6, 0.0), (1.5, 0.55)):
        c.rect(27.6 + shift, 22.4 + shift, size, size, ground, 0.05, ink)
    c.polygon([(31.0, 23.6), (32.5, 22.3), (34.0, 23.6), (33.6, 23.6), (33.6, 25.0), (31.4, 25.0), (31.4, 23.6)], ink)
    c.ellipse(34.6, 22.4, 2.6, 2.6, ground, ink, 0.09)
    c.text((35.9, 23.72), "VI", 1.0, ink)


def body() -> Canvas:
    """The closed charger seen at its receptacles, its side to the right, on the bench."""
    c = Canvas(1900, 1400, 26.0, (330.0, 210.0))
    wide, high, deep = CASE.width * 1e3, CASE.height * 1e3, 9.5
    c.shadow(0.8, 2.0, wide + deep, high + 1.0, 4.0, 3.0)
    c.rect(0, 0, wide + deep, high, "#c9c5ba", 4.2)
    c.shade(deep, 0, wide, high, 4.2, 0.2)
    c.rect(0, 0, wide, high, "#efece3", 4.0)
    c.shade(0, 0, wide, high, 4.0, 0.1)
    c.line([(wide + 2.6, 0.6), (wide + 2.6, high - 0.6)], "#b3afa3", 0.09)
    c.rect(8.0, 6.0, 9.6, 3.6, "#3a3f42", 1.8)
    c.rect(8.45, 6.4, 8.7, 2.8, "#15181a", 1.4)
    c.rect(9.6, 7.45, 6.4, 0.7, "#6d7376", 0.3)
    c.rect(6.6, 16.6, 13.4, 6.2, "#3a3f42", 0.5)
    c.rect(7.1, 17.1, 12.4, 5.2, "#15181a", 0.25)
    c.rect(7.9, 17.5, 10.8, 2.0, "#f3f1ea", 0.1)
    for k in range(4):
        c.rect(8.8 + 2.5 * k, 19.0, 1.3, 0.5, GOLD)
    c.text((22.4, 7.8), "C1", 1.5, INK, "lm")
    c.text((25.8, 7.8), "65W", 1.2, COPPER, "lm")
    c.text((22.4, 19.7), "A1", 1.5, INK, "lm")
    c.text((25.8, 19.7), "18W", 1.2, COPPER, "lm")
    c.text((wide - 3.0, high - 3.0), "Fennmark", 1.3, "#8b887e", "rm")
    return c
