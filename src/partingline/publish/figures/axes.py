"""A plot's frame: scales from numbers to units of the drawing, round ticks, and their labels.

What comes in: ranges of numbers. What goes out: `Axes` with its scales, and the markup of the frame.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from partingline.publish.figures.svg import element, text

TICK_SIZE = 11.0
_ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class Axes:
    """A frame from (`left`, `top`) to (`right`, `bottom`) with linear scales over the given ranges."""

    left: float
    top: float
    right: float
    bottom: float
    x_range: tuple[float, float]
    y_range: tuple[float, float]

    def x(self, value: float) -> float:
        """Across, from the value's place in the range."""
        return self.left + (self.right - self.left) * _share(value, self.x_range)

    def y(self, value: float) -> float:
        """Down, from the value's place in the range."""
        return self.bottom - (self.bottom - self.top) * _share(value, self.y_range)


def round_range(low: float, high: float, *, pad: float = 0.06) -> tuple[float, float]:
    """A range that holds both with some room; never empty."""
    if not high > low:
        room = abs(low) * 0.05 or 1.0
        return low - room, high + room
    room = (high - low) * pad
    return low - room, high + room


def round_ticks(low: float, high: float, most: int = 6) -> list[float]:
    """Multiples of 1, 2, 2.5 or 5 times a power of ten inside the range, at most `most` of them."""
    raw = (high - low) / max(most, 1)
    power = 10.0 ** math.floor(math.log10(raw))
    step = next((factor * power for factor in _ROUND if factor * power >= raw * 0.999), 10 * power)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [round(index * step, 12) for index in range(first, last + 1)]


def tick_labels(ticks: list[float]) -> list[str]:
    """The ticks with as many decimals as the finest of them needs, a true minus, and no exponent."""
    decimals = 0
    while decimals < 6 and any(abs(tick - round(tick, decimals)) > 1e-9 * max(1, abs(tick)) for tick in ticks):
        decimals += 1
    return [f"{tick:,.{decimals}f}".replace("-", "−").replace(",", "\u202f") for tick in ticks]


def frame(
    axes: Axes, x_ticks: list[float], y_ticks: list[float], x_label: str, y_label: str, *, each: bool = False
) -> str:
    """Horizontal rules with their numbers, numbers below, and the two units at the ends of the scales.

    With `each`, every number below has just the decimals that it needs itself.
    """
    parts = []
    for tick, label in zip(y_ticks, tick_labels(y_ticks), strict=True):
        y = axes.y(tick)
        parts.append(element("line", x1=axes.left, x2=axes.right, y1=y, y2=y, stroke="var(--rule)"))
        parts.append(text(axes.left - 8, y + 4, label, size=TICK_SIZE, fill="var(--muted)", anchor="end"))
    labels = [tick_labels([tick])[0] for tick in x_ticks] if each else tick_labels(x_ticks)
    places = [(axes.x(tick), label) for tick, label in zip(x_ticks, labels, strict=True)]
    crowded = any(right - left < 6.5 * len(label) + 6 for (left, _), (right, label) in pairwise(places))
    for x, label in places[:: 2 if crowded else 1]:
        anchor = "end" if x > axes.right - 3 else "middle"
        parts.append(text(x, axes.bottom + 17, label, size=TICK_SIZE, fill="var(--muted)", anchor=anchor))
    parts.append(text(axes.right, axes.bottom + 33, x_label, size=TICK_SIZE, fill="var(--muted)", anchor="end"))
    parts.append(text(axes.left, axes.top - 8, y_label, size=TICK_SIZE, fill="var(--muted)"))
    return "".join(parts)


def _share(value: float, extent: tuple[float, float]) -> float:
    return (value - extent[0]) / (extent[1] - extent[0])
