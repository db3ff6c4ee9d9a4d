"""What was said on the CC line, and what the power did: messages by sender, contracts as intervals, the levels of the
wire and VBUS below.

What comes in: times in s, names, volts. What goes out: an SVG. Long silences are drawn short, so that a negotiation of
some ms and an hour of rest fit on one line; the times are printed at the marks.
"""

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from partingline.publish.figures.axes import TICK_SIZE, round_ticks, tick_labels
from partingline.publish.figures.chart import Floats, Level
from partingline.publish.figures.svg import drawing, element, fitted, number, points, text, text_width

WIDTH = 880.0
_LEFT, _RIGHT = 74.0, 866.0
_SIZE = 12.5
_SLANT = 42.0
_MIN_GAP = 16.0
_WIRE_HEIGHT = 44.0
_COLOURS = {"source": "var(--copper)", "sink": "var(--meets)", "": "var(--short)"}


@dataclass(frozen=True, slots=True)
class Message:
    """Something said: when it began, by whom ('source', 'sink', 'cable'; '' for resets and what is damaged, of which
    the wire does not tell the sender), its name."""

    t_s: float
    sender: str
    name: str


@dataclass(frozen=True, slots=True)
class Contract:
    """What was agreed, from its acceptance to its end."""

    from_s: float
    to_s: float
    name: str


@dataclass(frozen=True, slots=True)
class Trace:
    """A voltage over time, in s and V."""

    name: str
    t_s: Floats
    volts: Floats


@dataclass(frozen=True, slots=True)
class Band:
    """The lowest and highest voltage over time, in s and V."""

    name: str
    t_s: Floats
    low: Floats
    high: Floats


def protocol_timeline(
    messages: Sequence[Message],
    *,
    contracts: Sequence[Contract] = (),
    vbus: Trace | None = None,
    levels: Sequence[Level] = (),
    wire: Band | None = None,
) -> str:
    """The timeline as SVG; `levels` are named voltages on the VBUS scale, `wire` the envelope of the CC wire."""
    spoken = sorted(messages, key=lambda message: message.t_s)
    if not spoken and not contracts and vbus is None:
        return drawing(WIDTH, 60, text(0, 34, "nothing was said", size=_SIZE, fill="var(--muted)"))
    scale = _Scale(_knots(spoken, contracts, vbus), _RIGHT - _overhang(spoken[-1:]))
    above = [message for message in spoken if message.sender == "source"]
    below = [message for message in spoken if message.sender != "source"]
    upper = 10 + _reach(above)
    lower = upper + 46
    plot_top = lower + 18 + _reach(below)
    parts = [_lane("source", upper), _lane("sink", lower)]
    parts += [_contract(scale, contract, upper + 12) for contract in contracts]
    parts += _ticks(scale, above, upper, -1) + _ticks(scale, below, lower, 1)
    bottom = plot_top
    if wire is not None and len(wire.t_s):
        bottom = plot_top + _WIRE_HEIGHT
        parts.append(_wire(scale, wire, plot_top, bottom))
        plot_top = bottom + 26
    if vbus is not None:
        bottom = plot_top + 110
        parts.append(_vbus(scale, vbus, levels, plot_top, bottom))
    return drawing(WIDTH, bottom + 30, _times(scale, upper, bottom) + "".join(parts))


class _Scale:
    """Time to units: linear between the knots, where a silence counts with its logarithm."""

    def __init__(self, knots: list[float], right: float) -> None:
        self.knots = knots
        gaps = [b - a for a, b in pairwise(knots)]
        shortest = min((gap for gap in gaps if gap > 0), default=1.0)
        weights = [1.0 + 0.8 * math.log2(max(gap / shortest, 1.0)) for gap in gaps]
        room = right - _LEFT - 8
        total = sum(weights) or 1.0
        self.places = [_LEFT + 8]
        for weight in weights:
            self.places.append(self.places[-1] + room * weight / total)

    def x(self, t_s: float) -> float:
        knots, places = self.knots, self.places
        if len(knots) == 1:
            return places[0]
        index = min(max(bisect_right(knots, t_s) - 1, 0), len(knots) - 2)
        share = (t_s - knots[index]) / (knots[index + 1] - knots[index])
        return places[index] + min(max(share, 0.0), 1.0) * (places[index + 1] - places[index])


def _knots(messages: list[Message], contracts: Sequence[Contract], vbus: Trace | None) -> list[float]:
    times = {message.t_s for message in messages}
    times |= {time for contract in contracts for time in (contract.from_s, contract.to_s)}
    if vbus is not None and len(vbus.t_s):
        times |= {float(vbus.t_s[0]), float(vbus.t_s[-1])}
    return sorted(time for time in times if math.isfinite(time))


def _reach(messages: list[Message]) -> float:
    """How far the slanted names of a lane stand out from it."""
    longest = max((text_width(_shown(message), _SIZE) for message in messages), default=0.0)
    return 16 + min(longest, 230.0) * math.sin(math.radians(_SLANT))


def _overhang(last: list[Message]) -> float:
    """How far the name of the last message reaches to the right of it."""
    return sum(min(text_width(_shown(message), _SIZE), 150.0) for message in last) * math.cos(math.radians(_SLANT))


def _shown(message: Message, room: float = 230.0) -> str:
    named = message.name if message.sender in ("source", "sink", "") else f"{message.sender}: {message.name}"
    return fitted(named, _SIZE, room)


def _lane(name: str, y: float) -> str:
    line = element("line", x1=_LEFT, x2=_RIGHT, y1=y, y2=y, stroke="var(--ink)", stroke_width=0.9)
    return line + text(_LEFT - 10, y + 4, name, size=_SIZE, fill="var(--muted)", anchor="end")


def _ticks(scale: _Scale, messages: list[Message], y: float, direction: int) -> list[str]:
    """A tick a message, outward from the lane; a name where the one before leaves room."""
    parts, last = [], -math.inf
    for message in messages:
        x = scale.x(message.t_s)
        colour = _COLOURS.get(message.sender, "var(--slate)")
        parts.append(element("line", x1=x, x2=x, y1=y, y2=y + 9 * direction, stroke=colour, stroke_width=2))
        if x - last >= _MIN_GAP * 0.85:
            room = (WIDTH - x) / math.cos(math.radians(_SLANT)) - 8
            turned = f"translate({number(x)} {number(y + 13 * direction + (0 if direction < 0 else 6))})"
            turned += f" rotate({number(_SLANT * direction)})"
            parts.append(
                element("g", text(0, 0, _shown(message, min(room, 230.0)), size=_SIZE, fill=colour), transform=turned)
            )
            last = x
    return parts


def _contract(scale: _Scale, contract: Contract, y: float) -> str:
    left, right = scale.x(contract.from_s), scale.x(contract.to_s)
    bar = element(
        "rect", x=left, y=y, width=max(right - left, 1.5), height=22, fill="var(--tint)", stroke="var(--rule)"
    )
    edge = element("line", x1=left, x2=left, y1=y, y2=y + 22, stroke="var(--ink)", stroke_width=1.6)
    room = right - left - 10
    bare = contract.name.removeprefix("PPS ")
    shorter = (contract.name, bare, " ".join(bare.split(" ")[:2]))
    name = next((said for said in shorter if text_width(said, _SIZE) <= room), "")
    return bar + edge + (text(left + 7, y + 15.5, name, size=_SIZE) if name else "")


def _vbus(scale: _Scale, vbus: Trace, levels: Sequence[Level], top: float, bottom: float) -> str:
    t, volts = np.asarray(vbus.t_s, float), np.asarray(vbus.volts, float)
    whole = np.isfinite(t) & np.isfinite(volts)
    t, volts = t[whole], volts[whole]
    highest = max([float(v) for v in (volts.max(initial=5.0),)] + [level.value for level in levels]) * 1.06

    def y(value: float) -> float:
        return bottom - (bottom - top) * min(max(value, 0.0), highest) / highest

    parts = []
    ticks = round_ticks(0.0, highest, most=4)
    for tick, label in zip(ticks, tick_labels(ticks), strict=True):
        parts.append(element("line", x1=_LEFT, x2=_RIGHT, y1=y(tick), y2=y(tick), stroke="var(--rule)"))
        parts.append(text(_LEFT - 10, y(tick) + 4, label, size=TICK_SIZE, fill="var(--muted)", anchor="end"))
    for level in levels:
        across = points([(_LEFT, y(level.value)), (_RIGHT, y(level.value))])
        parts.append(element("polyline", points=across, fill="none", stroke="var(--ink)", stroke_dasharray="1.5 3"))
        parts.append(text(_RIGHT, y(level.value) - 4, level.name, size=TICK_SIZE, fill="var(--muted)", anchor="end"))
    step = max(1, t.size // 4000)
    path = _by_column([(scale.x(float(a)), y(float(b))) for a, b in zip(t[::step], volts[::step], strict=True)])
    parts.append(element("polyline", points=points(path), fill="none", stroke="var(--copper)", stroke_width=1.8,
                         stroke_linejoin="round"))  # fmt: skip
    parts.append(text(_LEFT - 10, top - 8, f"{vbus.name} V", size=TICK_SIZE, fill="var(--muted)", anchor="end"))
    return "".join(parts)


def _wire(scale: _Scale, wire: Band, top: float, bottom: float) -> str:
    """The envelope of the wire as a filled band in steps: frames reach down to the sender's low level, rest is a
    line."""
    t, low, high = (np.asarray(values, float) for values in (wire.t_s, wire.low, wire.high))
    whole = np.isfinite(t) & np.isfinite(low) & np.isfinite(high)
    t, low, high = t[whole], low[whole], high[whole]
    highest = max(float(high.max(initial=1.2)), 1.2) * 1.06
    lowest = min(float(low.min(initial=0.0)), 0.0)

    def y(value: float) -> float:
        return bottom - (bottom - top) * (value - lowest) / (highest - lowest)

    parts = []
    for tick in (0.0, 1.0):
        parts.append(element("line", x1=_LEFT, x2=_RIGHT, y1=y(tick), y2=y(tick), stroke="var(--rule)"))
        parts.append(text(_LEFT - 10, y(tick) + 4, f"{tick:g}", size=TICK_SIZE, fill="var(--muted)", anchor="end"))
    places = [scale.x(float(time)) for time in t]
    upper = _by_column(_steps(places, [y(float(value)) for value in high]))
    lower = _by_column(_steps(places, [y(float(value)) for value in low]))
    outline = points([*upper, *reversed(lower)])
    parts.append(
        element("polygon", points=outline, fill="var(--slate)", stroke="var(--slate)", stroke_width=0.8,
                fill_opacity=0.35, stroke_linejoin="round")
    )  # fmt: skip
    parts.append(text(_LEFT - 10, top - 8, f"{wire.name} V", size=TICK_SIZE, fill="var(--muted)", anchor="end"))
    return "".join(parts)


def _steps(across: list[float], heights: list[float]) -> list[tuple[float, float]]:
    """Each height held up to the next place."""
    held = [point for x, after, y in zip(across, across[1:], heights, strict=False) for point in ((x, y), (after, y))]
    return [*held, (across[-1], heights[-1])] if across else []


def _by_column(path: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """No more than the first, lowest, highest and last point of each unit across."""
    columns: dict[int, list[tuple[float, float]]] = {}
    for point in path:
        columns.setdefault(int(point[0] * 2), []).append(point)
    kept = []
    for column in columns.values():
        heights = [y for _, y in column]
        marks = {0, len(column) - 1, heights.index(min(heights)), heights.index(max(heights))}
        kept += [column[index] for index in sorted(marks)]
    return kept


def _times(scale: _Scale, top: float, bottom: float) -> str:
    """The times of the knots that leave room for each other."""
    parts, free_from = [], -math.inf
    for knot, x in zip(scale.knots, scale.places, strict=True):
        label = _time(knot)
        half = text_width(label, TICK_SIZE) / 2
        if x - half < free_from or x + half > WIDTH:
            continue
        parts.append(element("line", x1=x, x2=x, y1=top, y2=bottom + 4, stroke="var(--rule)", stroke_dasharray="1.5 3"))
        parts.append(text(x, bottom + 18, label, size=TICK_SIZE, fill="var(--muted)", anchor="middle"))
        free_from = x + half + 12
    return "".join(parts)


def _time(t_s: float) -> str:
    size = abs(t_s)
    if size < 1:
        said = f"{size * 1e3:.1f} ms" if size < 0.1 else f"{size * 1e3:.0f} ms"
    else:
        said = f"{size:.2f} s" if size < 100 else f"{size / 60:.1f} min"
    return f"−{said}" if t_s < 0 else said
