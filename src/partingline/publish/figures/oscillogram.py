"""Switching periods as a bench would show them: drain voltage, gate, primary and secondary current over one time scale.

What comes in: samples in SI units and the instants that are marked. What goes out: an SVG.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from partingline.publish.figures.axes import TICK_SIZE, Axes, round_range, round_ticks, tick_labels
from partingline.publish.figures.place import Point
from partingline.publish.figures.svg import drawing, element, fitted, points, text, text_width

WIDTH = 440.0
_LEFT, _RIGHT = 44.0, 8.0
_DRAIN, _GATE, _CURRENT, _GAP = 150.0, 11.0, 66.0, 30.0
_NEAR = 0.15
Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Oscillogram:
    """Curves over `time` in s (V and A), of cycles of `period` s that begin at turn-on.

    `turn_off` and `demagnetised` are instants of a cycle, `turn_on_voltage` is where the drain stands at turn-on,
    `turn_on` in words what that is; `bulk` the voltage about which it rings, `highest` the drain's highest over the
    ripple of the bulk; `limit` is a rating of the switch with its name, in V.
    """

    time: Array
    drain: Array
    primary: Array
    secondary: Array
    period: float
    turn_off: float
    demagnetised: float
    turn_on_voltage: float
    turn_on: str
    bulk: float
    highest: float
    limit: tuple[str, float] | None = None


def oscillogram(seen: Oscillogram, *, width: float = WIDTH) -> str:
    """The panels under each other as SVG."""
    span = (0.0, float(seen.time[-1]))
    top = 24.0
    most = max(float(seen.drain.max()), seen.limit[1] if seen.limit else 0.0) * 1.04
    drain = Axes(_LEFT, top, width - _RIGHT, top + _DRAIN, span, (0.0, most))
    gate = drain.bottom + 12
    upper = Axes(_LEFT, gate + _GATE + _GAP, width - _RIGHT, gate + _GATE + _GAP + _CURRENT, span, _held(seen.primary))
    lower_top = upper.bottom + _GAP
    lower = Axes(_LEFT, lower_top, width - _RIGHT, lower_top + _CURRENT, span, _held(seen.secondary))
    parts = [_instants(seen, drain, lower.bottom)]
    parts += [_panel(drain, "drain, V", "copper", 5), _panel(upper, "primary, A", "slate", 3)]
    parts += [_panel(lower, "secondary, A", "meets", 3), _limit(seen, drain), _gates(seen, drain, gate)]
    parts += [_bulk(seen, drain)]
    for axes, values, token in ((drain, seen.drain, "copper"), (upper, seen.primary, "slate"),
                                (lower, seen.secondary, "meets")):  # fmt: skip
        parts.append(_curve(axes, seen.time, values, token))
    parts += [_peak(upper, seen, seen.primary, "A"), _peak(lower, seen, seen.secondary, "A")]
    parts += [_peak(drain, seen, seen.drain, "V"), _valley(seen, drain), _times(lower)]
    return drawing(width, lower.bottom + 38, "".join(parts))


def _held(values: Array) -> tuple[float, float]:
    low, high = round_range(float(values.min()), float(values.max()), pad=0.1)
    return min(low, 0.0), high


def _panel(axes: Axes, label: str, token: str, most: int) -> str:
    ticks = round_ticks(*axes.y_range, most=most)
    parts = []
    for tick, words in zip(ticks, tick_labels(ticks), strict=True):
        y = axes.y(tick)
        parts.append(element("line", x1=axes.left, x2=axes.right, y1=y, y2=y, stroke="var(--rule)"))
        parts.append(text(axes.left - 7, y + 4, words, size=TICK_SIZE, fill="var(--muted)", anchor="end"))
    parts.append(_label(axes.left, axes.top - 8, label, "start", f"var(--{token})", 600))
    return "".join(parts)


def _instants(seen: Oscillogram, axes: Axes, bottom: float) -> str:
    """Thin lines through all panels where the switch turns off and where the secondary current ends."""
    lines = []
    for instant in (seen.turn_off, seen.demagnetised, seen.period):
        x = axes.x(instant)
        if x <= axes.right:
            lines.append(element("line", x1=x, x2=x, y1=axes.top, y2=bottom, stroke="var(--muted)",
                                 stroke_width=0.7, stroke_dasharray="1.5 3"))  # fmt: skip
    return "".join(lines)


def _bulk(seen: Oscillogram, axes: Axes) -> str:
    y = axes.y(seen.bulk)
    line = element("line", x1=axes.left, x2=axes.right, y1=y, y2=y, stroke="var(--muted)", stroke_dasharray="5 4",
                   stroke_width=0.8)  # fmt: skip
    x = axes.x(0.5 * (seen.turn_off + seen.demagnetised))
    return line + _label(x, y + 14, f"bulk {seen.bulk:.0f} V", "middle", "var(--muted)")


def _limit(seen: Oscillogram, axes: Axes) -> str:
    if seen.limit is None:
        return ""
    y = axes.y(seen.limit[1])
    line = element("line", x1=axes.left, x2=axes.right, y1=y, y2=y, stroke="var(--ink)", stroke_width=1.1,
                   stroke_dasharray="1.5 3")  # fmt: skip
    share = seen.highest / seen.limit[1]
    words = (
        f"{seen.limit[0]} rated {seen.limit[1]:g} V; over the ripple up to {seen.highest:.0f} V, {share * 100:.0f} %"
    )
    return line + _label(axes.right, y + 14, words, "end", "var(--muted)")


def _gates(seen: Oscillogram, axes: Axes, y: float) -> str:
    """Bars where the switch is on."""
    base = element("line", x1=axes.left, x2=axes.right, y1=y + _GATE, y2=y + _GATE, stroke="var(--rule)")
    parts = [base, text(axes.left - 7, y + 10, "gate", size=TICK_SIZE, fill="var(--muted)", anchor="end")]
    start = 0.0
    while start < axes.x_range[1] * (1 - 1e-9):
        left, right = axes.x(start), axes.x(start + seen.turn_off)
        parts.append(element("rect", x=left, y=y, width=right - left, height=_GATE, fill="var(--ink)",
                             fill_opacity="0.7"))  # fmt: skip
        start += seen.period
    named = ((seen.turn_off, seen.demagnetised, "rectifier on"), (seen.demagnetised, seen.period, "rings"))
    for begin, end, words in named:
        left, room = axes.x(begin), axes.x(end) - axes.x(begin)
        if text_width(words, 10.5) + 6 < room:
            middle = left + room / 2
            parts.append(text(middle, y + 8, words, size=10.5, fill="var(--muted)", anchor="middle"))
    return "".join(parts)


def _peak(axes: Axes, seen: Oscillogram, values: Array, unit: str) -> str:
    """The highest value of the last whole cycle, beside its place."""
    at = int(np.argmax(values[seen.time <= seen.period]))
    value = float(values[at])
    x, y = axes.x(float(seen.time[at])), axes.y(value)
    words = f"{value:.{0 if value >= 100 else 1 if value >= 10 else 2}f} {unit}"
    return _label(x + 8, y + 5 if y - axes.top > 4 else y + 12, words, "start", "var(--ink)")


def _valley(seen: Oscillogram, axes: Axes) -> str:
    """A ring on the drain curve where the switch turns on, with its voltage."""
    if seen.period > axes.x_range[1]:
        return ""
    x, y = axes.x(seen.period), axes.y(seen.turn_on_voltage)
    ring = element("circle", cx=x, cy=y, r=3.6, fill="var(--paper)", stroke="var(--copper)", stroke_width=1.6)
    words = f"{seen.turn_on}: {seen.turn_on_voltage:.0f} V"
    room = text_width(words, 11)
    up = y - 9 if y > axes.bottom - 14 else y + 16
    return ring + _label(min(x + 7, axes.right - room), up, words, "start", "var(--ink)")


def _times(axes: Axes) -> str:
    ticks = round_ticks(axes.x_range[0] * 1e6, axes.x_range[1] * 1e6, most=7)
    parts = []
    for tick, words in zip(ticks, tick_labels(ticks), strict=True):
        x = axes.x(tick * 1e-6)
        parts.append(element("line", x1=x, x2=x, y1=axes.bottom, y2=axes.bottom + 4, stroke="var(--muted)"))
        anchor = "end" if x > axes.right - 3 else "middle"
        parts.append(text(x, axes.bottom + 17, words, size=TICK_SIZE, fill="var(--muted)", anchor=anchor))
    parts.append(
        text(axes.right, axes.bottom + 32, "µs from turn-on", size=TICK_SIZE, fill="var(--muted)", anchor="end")
    )
    return "".join(parts)


def _curve(axes: Axes, time: Array, values: Array, token: str) -> str:
    path = [(axes.x(float(t)), axes.y(float(v))) for t, v in zip(time, values, strict=True)]
    return element("polyline", points=points(_straightened(path)), fill="none", stroke=f"var(--{token})",
                   stroke_width=1.5, stroke_linejoin="round", stroke_linecap="round")  # fmt: skip


def _straightened(path: Sequence[Point]) -> list[Point]:
    """The path without the points that lie on it anyway (Ramer-Douglas-Peucker, to a fraction of a unit)."""
    places = np.array(path)
    keep = np.zeros(len(places), dtype=bool)
    keep[[0, -1]] = True
    open_ = [(0, len(places) - 1)]
    while open_:
        first, last = open_.pop()
        if last - first < 2:
            continue
        along = places[last] - places[first]
        apart = places[first + 1 : last] - places[first]
        length = float(np.hypot(*along))
        off = np.abs(along[0] * apart[:, 1] - along[1] * apart[:, 0]) / length if length else np.hypot(*apart.T)
        farthest = int(np.argmax(off))
        if off[farthest] > _NEAR:
            middle = first + 1 + farthest
            keep[middle] = True
            open_ += [(first, middle), (middle, last)]
    return [(float(x), float(y)) for x, y in places[keep]]


def _label(x: float, y: float, words: str, anchor: str, fill: str, weight: int | None = None) -> str:
    """Words on a thin ground of paper."""
    words = fitted(words, 11, WIDTH)
    under = element("g", text(x, y, words, size=11, fill="none", anchor=anchor, weight=weight), stroke="var(--paper)",
                    stroke_width=3.5, stroke_linejoin="round")  # fmt: skip
    return under + text(x, y, words, size=11, fill=fill, anchor=anchor, weight=weight)
