"""How near each part runs to its limit: one bar a part, all limits on one line.

What comes in: values and limits in one unit each. What goes out: an SVG.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from partingline.publish.document import Status
from partingline.publish.figures.svg import drawing, element, fitted, points, text, text_width
from partingline.publish.look import shape_of, token_of

WIDTH = 760.0
_ROW, _SIZE = 27.0, 12.5


@dataclass(frozen=True, slots=True)
class Margin:
    """A value against its limit: `share` is value ÷ limit, `u` its standard uncertainty; `said` the two as printed.

    `status` is the verdict; for a limit that must be reached the bar has to pass the line.
    """

    name: str
    share: float
    said: str
    status: Status
    u: float = 0.0


def margin_bars(margins: Sequence[Margin]) -> str:
    """The bars as SVG: 100 % is the limit, whiskers are k = 2."""
    drawn = [margin for margin in margins if math.isfinite(margin.share)]
    if not drawn:
        return drawing(WIDTH, 60, text(0, 34, "no margins to draw", size=_SIZE, fill="var(--muted)"))
    name_room = min(max(text_width(margin.name, _SIZE) for margin in drawn) + 24, 240.0)
    said_room = min(max(text_width(margin.said, _SIZE) for margin in drawn) + 12, 220.0)
    left, right = name_room, WIDTH - said_room
    most = min(max(1.15, max(margin.share + 2 * margin.u for margin in drawn) * 1.04), 2.0)
    bottom = 26 + _ROW * len(drawn)

    def x(share: float) -> float:
        return left + (right - left) * min(max(share, 0.0), most) / most

    parts = [
        element(
            "line", x1=x(1), x2=x(1), y1=22, y2=bottom, stroke="var(--ink)", stroke_dasharray="1.5 3", stroke_width=1.2
        ),
        text(x(1), 14, "limit", size=11.5, fill="var(--muted)", anchor="middle"),
        element("line", x1=left, x2=left, y1=22, y2=bottom, stroke="var(--rule)"),
    ]
    for index, margin in enumerate(drawn):
        middle = 26 + _ROW * (index + 0.5)
        colour = f"var(--{token_of(margin.status)})"
        parts.append(_shape(margin.status, 6, middle, colour))
        parts.append(text(18, middle + 4.5, fitted(margin.name, _SIZE, name_room - 24), size=_SIZE))
        parts.append(element("rect", x=left, y=middle - 5, width=max(x(margin.share) - left, 1), height=10, fill=colour,
                             fill_opacity="0.75"))  # fmt: skip
        if margin.u > 0:
            low, high = x(margin.share - 2 * margin.u), x(margin.share + 2 * margin.u)
            parts.append(element("line", x1=low, x2=high, y1=middle, y2=middle, stroke="var(--ink)", stroke_width=1.4))
        parts.append(
            text(right + 12, middle + 4.5, fitted(margin.said, _SIZE, said_room - 8), size=_SIZE, fill="var(--muted)")
        )
    return drawing(WIDTH, bottom + 6, "".join(parts))


def _shape(status: Status, x: float, y: float, colour: str) -> str:
    match shape_of(status):
        case "disc":
            return element("circle", cx=x, cy=y, r=4.6, fill=colour)
        case "triangle":
            return element("polygon", points=points([(x - 5, y - 4.4), (x + 5, y - 4.4), (x, y + 4.8)]), fill=colour)
        case "half":
            half = f"M{x:g} {y - 4.3:g}a4.3 4.3 0 0 0 0 8.6z"
            ring = element("circle", cx=x, cy=y, r=4.3, fill="none", stroke=colour)
            return ring + element("path", d=half, fill=colour)
        case _:
            return element("circle", cx=x, cy=y, r=4.3, fill="none", stroke=colour)
