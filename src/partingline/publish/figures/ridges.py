"""What was thought of unknowns before and after: their densities over each other on one scale of factors.

What comes in: draws before and after. What goes out: an SVG.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from partingline.publish.figures.svg import drawing, element, fitted, points, text, text_width

Array = NDArray[np.float64]
WIDTH = 760.0
_ROW, _SIZE, _TOP = 58.0, 12.5, 34.0
_LOWEST, _HIGHEST = 1 / 3.0, 3.0
_FACTORS = (0.5, 0.7, 1.0, 1.4, 2.0)
_PLACES = 160


@dataclass(frozen=True, slots=True)
class Ridge:
    """An unknown: draws `before` and `after` of a positive quantity, `read` where it was, `said` what stands beside."""

    name: str
    before: Array
    after: Array
    said: str
    read: float | None = None


def ridges(rows: Sequence[Ridge]) -> str:
    """One row an unknown, its value over the median after the readings; dashed before, filled after, a dot what was
    read."""
    left = min(max((text_width(row.name, _SIZE) for row in rows), default=0.0) + 16, 230.0)
    right = WIDTH - min(max((text_width(row.said, _SIZE) for row in rows), default=0.0) + 12, 230.0)
    bottom = _TOP + _ROW * len(rows)

    def x(factor: Array | float) -> Array:
        span = np.log(_HIGHEST / _LOWEST)
        return np.asarray(left + (right - left) * (np.log(np.clip(factor, _LOWEST, _HIGHEST) / _LOWEST)) / span)

    parts = []
    for factor in _FACTORS:
        at = float(x(factor))
        parts.append(element("line", x1=at, x2=at, y1=_TOP - 8, y2=bottom, stroke="var(--rule)"))
        parts.append(text(at, bottom + 16, f"× {factor:g}", size=11, fill="var(--muted)", anchor="middle"))
    for index, row in enumerate(rows):
        base = _TOP + _ROW * (index + 1) - 8
        middle = float(np.median(row.after))
        for draws, filled in ((row.before, False), (row.after, True)):
            parts.append(_density(np.log(draws / middle), x, base, filled))
        parts.append(element("line", x1=left, x2=right, y1=base, y2=base, stroke="var(--rule)"))
        if row.read is not None:
            at = float(x(row.read / middle))
            ring = element("circle", cx=at, cy=base, r=4.5, fill="var(--paper)", stroke="var(--ink)", stroke_width=1.8)
            parts.append(ring)
        parts.append(text(0, base - 4, fitted(row.name, _SIZE, left - 10), size=_SIZE))
        parts.append(text(right + 10, base - 4, row.said, size=_SIZE, fill="var(--muted)"))
    parts.append(text(left, 14, "dashed: before, filled: after the readings, ring: read", size=11, fill="var(--muted)"))
    return drawing(WIDTH, bottom + 24, "".join(parts))


def _density(logs: Array, x: Callable[[Array], Array], base: float, filled: bool) -> str:
    """The smoothed density of logarithms, as high as a row at its own peak."""
    grid = np.linspace(np.log(_LOWEST), np.log(_HIGHEST), _PLACES)
    width = max(1.06 * float(np.std(logs)) * len(logs) ** -0.2, 5e-3)
    kernel = np.exp(-0.5 * ((grid[:, np.newaxis] - logs) / width) ** 2).sum(axis=1)
    heights = base - (_ROW - 14) * kernel / kernel.max()
    path = [(float(a), float(b)) for a, b in zip(x(np.exp(grid)), heights, strict=True)]
    line = {"stroke": "var(--copper)"} if filled else {"stroke": "var(--muted)", "stroke_dasharray": "5 4"}
    under = {"fill": "var(--copper)", "fill_opacity": "0.2"} if filled else {"fill": "none"}
    return element("polyline", points=points(path), stroke_width="1.5", **line, **under)
