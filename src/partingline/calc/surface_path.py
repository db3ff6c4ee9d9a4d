"""Geometry of a path along or over a surface, by the figures of IEC 60664-1, 6.8. Metres."""

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite
from partingline.sources.tables import table


@calculation(
    source=cite("iec-60664-1-2020", "6.8 (2007: 6.2)", "S2"),
    units={"pollution_degree": "1", "clearance": "m"},
    gives="m",
    errata="A public implementation returns a third of the clearance even where that exceeds the table.",
    example=Example({"pollution_degree": 2, "clearance": None}, 1.0e-3, 1e-12, "IEC 60664-1, 6.8"),
)
def groove_width(*, pollution_degree: int = 2, clearance: Real | None = None) -> Real:
    """The width X below which a groove is bridged; at most a third of an associated clearance below 3 mm.

    ValueError for a pollution degree other than 1, 2 or 3.
    """
    if pollution_degree not in (1, 2, 3):
        raise ValueError(f"pollution degree {pollution_degree!r}: expected 1, 2 or 3")
    x = float(table("iec60664")["groove_width"][f"pd{pollution_degree}"]) * 1e-3
    if clearance is None:
        return x
    return plain(np.where(np.asarray(clearance) < 3e-3, np.minimum(x, np.asarray(clearance) / 3), x))


@calculation(
    source=cite("iec-60664-1-2020", "6.8, examples 1 and 2", "S2"),
    units={"width": "m", "depth": "m", "bridged_width": "m"},
    gives="m",
    example=Example(
        {"width": 1.0e-3, "depth": 2.0e-3, "bridged_width": 1.0e-3},
        5.0e-3,
        1e-9,
        "IEC 60664-1, example 2: w + 2 h",
    ),
)
def groove_creepage(*, width: Real, depth: Real, bridged_width: Real) -> Real:
    """The path across a groove with parallel sides: straight below X, else along its contour."""
    return plain(np.where(np.asarray(width) < bridged_width, width, width + 2 * np.asarray(depth)))


@calculation(
    source=cite("iec-60664-1-2020", "6.8, example 3", "C"),
    units={"width": "m", "depth": "m", "bridged_width": "m"},
    gives="m",
    example=Example(
        {"width": 2e-3, "depth": 4e-3, "bridged_width": 1e-3},
        5.1231e-3,
        1e-5,
        "geometry of example 3",
        outside=False,
    ),
    no_outside="the standard draws the figure without numbers",
)
def v_groove_creepage(*, width: Real, depth: Real, bridged_width: Real) -> Real:
    """The path across a V groove whose bottom is bridged by a link of length X."""
    side = np.hypot(depth, np.asarray(width) / 2)
    with np.errstate(divide="ignore", invalid="ignore"):
        contour = 2 * side * (1 - bridged_width / np.asarray(width)) + bridged_width
    return plain(np.where(np.asarray(width) <= bridged_width, width, contour))


@calculation(
    source=cite("iec-60664-1-2020", "6.8, example 4", "S2"),
    units={"flat_distance": "m", "height": "m"},
    gives="m",
    example=Example({"flat_distance": 4e-3, "height": 2e-3}, 8e-3, 1e-9, "IEC 60664-1, example 4: flat + 2 h"),
)
def rib_creepage(*, flat_distance: Real, height: Real) -> Real:
    """The path along the surface over a rib; `flat_distance` includes the rib's thickness."""
    return flat_distance + 2 * height


@calculation(
    source=cite("iec-60664-1-2020", "6.8, example 4", "C"),
    units={"left_gap": "m", "thickness": "m", "right_gap": "m", "height": "m"},
    gives="m",
    example=Example(
        {"left_gap": 1.5e-3, "thickness": 1e-3, "right_gap": 1.5e-3, "height": 2e-3},
        6e-3,
        1e-9,
        "geometry of example 4: two 3-4-5 triangles",
        outside=False,
    ),
    no_outside="the standard draws the figure without numbers",
)
def rib_clearance(*, left_gap: Real, thickness: Real, right_gap: Real, height: Real) -> Real:
    """The shortest air path over a rib between parts at the level of the surface."""
    return plain(np.hypot(left_gap, height) + thickness + np.hypot(right_gap, height))
