"""Insulation barriers: true shortest paths through air and along surfaces, on outlines in metres.

What comes in: a `Board` with `Conductor`s seen from above, or a `Section` cut through. What goes out: a `Path` with its
length and legs. Nothing here knows pixels, files or limits. Imported where it is used, since shapely takes its time.
"""

from partingline.calc.barrier.faces import Laid, laid_by_outline, laid_by_points
from partingline.calc.barrier.plan import board_clearance, board_creepage
from partingline.calc.barrier.section import section_clearance, section_creepage
from partingline.calc.barrier.types import (
    BOTTOM,
    FLOATING,
    PRIMARY,
    SECONDARY,
    TOP,
    Board,
    Conductor,
    Leg,
    Path,
    Relief,
    Section,
)

__all__ = [
    "BOTTOM",
    "FLOATING",
    "PRIMARY",
    "SECONDARY",
    "TOP",
    "Board",
    "Conductor",
    "Laid",
    "Leg",
    "Path",
    "Relief",
    "Section",
    "board_clearance",
    "board_creepage",
    "laid_by_outline",
    "laid_by_points",
    "section_clearance",
    "section_creepage",
]
