"""Whether a straight leg through air is free of ribs: upright prisms on a face."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from partingline.calc.barrier.search import Sheet

Array = NDArray[np.float64]


def air_sheet(ribs: list[tuple[BaseGeometry, float]], level: float, up: float, tolerance: float) -> Sheet:
    """The air over a face at `level`; `up` is 1 or -1, ribs are outlines with heights above the face."""
    cores = [(shapely.buffer(shape, -tolerance, join_style="mitre"), height) for shape, height in ribs]
    for core, _ in cores:
        shapely.prepare(core)

    def clear(p: Array, q: Array) -> bool:
        line = shapely.linestrings([p[:2], q[:2]])
        span = float(np.hypot(*(q[:2] - p[:2])))
        for core, height in cores:
            if span and shapely.intersects(core, line):
                over = shapely.get_coordinates(shapely.intersection(core, line))
                part = np.hypot(*(over - p[:2]).T) / span
                if np.min(up * (p[2] + (q[2] - p[2]) * part - level)) < height - tolerance:
                    return False
        return True

    return Sheet(clear, tolerance)
