"""Losses by item at several load points beside each other: one row an item, one column a point, all on one scale.

What comes in: amounts in W. What goes out: an SVG.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from partingline.publish.figures.svg import drawing, element, fitted, text, text_width

WIDTH = 880.0
_ROW, _SIZE, _TOP = 19.0, 11.5, 44.0
_GAP = 12.0
Amount = tuple[float, float]


@dataclass(frozen=True, slots=True)
class LossColumn:
    """A load point: its group and name, an amount (value, u) for each item, and the three sums."""

    group: str
    name: str
    items: Sequence[Amount]
    computed: Amount
    measured: Amount
    residual: Amount


def loss_matrix(items: Sequence[str], columns: Sequence[LossColumn], *, width: float = WIDTH) -> str:
    """The matrix: whiskers and ± are k = 2; below the rule what is computed, measured and left over."""
    sums = ("all, computed", "measured", "residual")
    left = min(max(text_width(name, _SIZE) for name in (*items, *sums)) + 12, 190.0)
    room = (width - left) / len(columns)
    bar = room - text_width("−0.00", _SIZE) - _GAP
    short = bar - text_width("±0.00", _SIZE - 2) - 2
    most = max(max(abs(v) + 2 * u for v, u in one.items) for one in columns) or 1.0
    whole = max(max(abs(v) + 2 * u for v, u in (one.computed, one.measured)) for one in columns) or 1.0
    end = _TOP + _ROW * len(items)
    parts = [text(0, _TOP + _ROW * (row + 0.5) + 4, fitted(name, _SIZE, left - 8), size=_SIZE)
             for row, name in enumerate(items)]  # fmt: skip
    parts.append(element("line", x1=0, x2=width, y1=end + 3, y2=end + 3, stroke="var(--rule)"))
    parts += [text(0, end + 8 + _ROW * (row + 0.5) + 4, name, size=_SIZE, weight=600) for row, name in enumerate(sums)]
    seen = ""
    for index, one in enumerate(columns):
        x = left + room * index
        if one.group != seen:
            parts.append(text(x, 13, one.group, size=12, weight=600))
            parts.append(_upright(x - _GAP / 2, end + 8 + 3 * _ROW) if index else "")
        seen = one.group
        parts.append(text(x, 31, one.name, size=_SIZE, fill="var(--muted)"))
        for row, amount in enumerate(one.items):
            parts.append(_cell(x, _TOP + _ROW * row, amount, bar / most, bar, "copper"))
            parts.append(_number(x + room - _GAP, _TOP + _ROW * row, amount[0]))
        told = ((one.computed, "copper"), (one.measured, "ink"), (one.residual, "muted"))
        for row, (amount, token) in enumerate(told):
            parts.append(_cell(x, end + 8 + _ROW * row, amount, short / whole, short, token))
            parts.append(_number(x + room - _GAP, end + 8 + _ROW * row, *amount))
    return drawing(width, end + 12 + 3 * _ROW, "".join(parts))


def _upright(x: float, bottom: float) -> str:
    return element("line", x1=x, x2=x, y1=4, y2=bottom, stroke="var(--rule)")


def _cell(x: float, y: float, amount: Amount, scale: float, bar: float, token: str) -> str:
    """A bar with its whisker; less than nothing is hollow."""
    value, u = amount
    length = min(abs(value) * scale, bar)
    low, high = max(abs(value) - 2 * u, 0.0) * scale, min((abs(value) + 2 * u) * scale, bar)
    middle = y + _ROW / 2
    hollow = {"fill": "none", "stroke": f"var(--{token})"} if value < 0 else {"fill": f"var(--{token})"}
    drawn = element("rect", x=x, y=middle - 4.5, width=max(length, 0.6), height=9, fill_opacity="0.6", **hollow)
    whisker = element("line", x1=x + low, x2=x + high, y1=middle, y2=middle, stroke="var(--ink)", stroke_width=1.1)
    return drawn + whisker


def _number(right: float, y: float, value: float, u: float | None = None) -> str:
    """The value, and with `u` its spread after it."""
    base, said = y + _ROW / 2 + 4, f"{value:.2f}".replace("-", "−")
    if u is None:
        return text(right, base, said, size=_SIZE - 0.5, anchor="end")
    spread = f"±{2 * u:.2f}"
    left = right - text_width(spread, _SIZE - 2) - 2
    return text(left, base, said, size=_SIZE - 0.5, anchor="end") + text(
        right, base, spread, size=_SIZE - 2, fill="var(--muted)", anchor="end"
    )
