"""Curves over a frame, each with its name at the curve, its uncertainty as a band, limits as dotted lines.

What comes in: plain sequences of floats. What goes out: an SVG. Values that are no numbers leave a gap.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from partingline.publish.figures.axes import TICK_SIZE, Axes, frame, round_range, round_ticks, tick_labels
from partingline.publish.figures.labels import clear_place, dense
from partingline.publish.figures.place import Box, Point
from partingline.publish.figures.svg import drawing, element, fitted, points, text, text_width
from partingline.publish.look import CURVES

WIDTH, HEIGHT = 440.0, 250.0
_NAME_SIZE, _LIMIT_SIZE = 12.0, 11.0
_MOST_POINTS = 700
_SHOWN_POINTS = 24
Array = NDArray[np.float64]
Floats = Sequence[float] | Array


@dataclass(frozen=True, slots=True)
class Curve:
    """A named curve: `x` and `y` of one length, `band` the half-width drawn about it (empty for none).

    `computed` curves are dashed; those with at most 24 values show them as points.
    """

    name: str
    x: Floats
    y: Floats
    band: Floats = ()
    computed: bool = False


@dataclass(frozen=True, slots=True)
class Level:
    """A limit: a dotted line with its name on it, across the frame or between two x values."""

    name: str
    value: float
    x_from: float | None = None
    x_to: float | None = None


@dataclass(frozen=True, slots=True)
class Marker:
    """A place on the x scale: a dotted upright line with its name."""

    name: str
    x: float


def line_chart(
    curves: Sequence[Curve],
    *,
    x_label: str,
    y_label: str,
    limits: Sequence[Level] = (),
    markers: Sequence[Marker] = (),
    x_ticks: Sequence[float] | None = None,
    y_range: tuple[float, float] | None = None,
    height: float = HEIGHT,
) -> str:
    """The chart as SVG. ValueError where the sequences of a curve differ in length."""
    plotted = [_Plotted(curve, f"var(--{CURVES[index % len(CURVES)]})") for index, curve in enumerate(curves)]
    if not any(one.x.size for one in plotted):
        return drawing(WIDTH, 60, text(0, 34, "no values to draw", size=_NAME_SIZE, fill="var(--muted)"))
    axes = _axes(plotted, limits, x_ticks, y_range, height)
    ticks = list(x_ticks) if x_ticks is not None else round_ticks(*axes.x_range, most=7)
    for one in plotted:
        one.project(axes)
    obstacles = [point for one in plotted for run in one.runs for point in dense(run)]
    limit_lines = [dense([(x, axes.y(limit.value)) for x in _ends(axes, limit)]) for limit in limits]
    obstacles += [point for line in limit_lines for point in line]
    marker_boxes = _marker_boxes(axes, markers, obstacles)
    limit_boxes = _limit_boxes(axes, limits, obstacles, marker_boxes)
    names = _name_boxes(axes, plotted, obstacles, marker_boxes + limit_boxes)
    parts = [frame(axes, ticks, round_ticks(*axes.y_range), x_label, y_label, each=x_ticks is not None)]
    parts += [one.band_svg(axes) for one in plotted]
    parts += [_limit(axes, limit, box) for limit, box in zip(limits, limit_boxes, strict=True)]
    parts += [_marker(axes, marker, box) for marker, box in zip(markers, marker_boxes, strict=True)]
    parts += [one.line_svg() for one in plotted]
    parts += [
        _label(box, one.curve.name, _NAME_SIZE, one.colour, 600)
        for one, box in zip([p for p in plotted if p.runs], names, strict=True)
    ]
    return drawing(WIDTH, height, "".join(parts))


class _Plotted:
    """A curve with its finite values, thinned to what the eye can tell apart."""

    def __init__(self, curve: Curve, colour: str) -> None:
        x, y = np.asarray(curve.x, float), np.asarray(curve.y, float)
        band = np.asarray(curve.band, float) if len(curve.band) else np.zeros_like(y)
        if not x.shape == y.shape == band.shape or x.ndim != 1:
            sizes = f"{x.size}, {y.size} and {band.size}"
            raise ValueError(f"curve {curve.name!r}: x, y and band hold {sizes} values; expected as many of each")
        keep = _thinned(y)
        self.curve, self.colour = curve, colour
        x, y, band = x[keep], y[keep], band[keep]
        self.whole = np.isfinite(x) & np.isfinite(y)
        self.raw = (x, y, np.nan_to_num(band))
        self.x, self.y = x[self.whole], y[self.whole]
        self.low, self.high = (y - self.raw[2])[self.whole], (y + self.raw[2])[self.whole]
        self.has_band = bool(np.any(self.raw[2] > 0))
        self.runs: list[list[Point]] = []

    def project(self, axes: Axes) -> None:
        self.runs = [
            [
                (axes.x(float(x)), _held(axes.y(float(y)), axes))
                for x, y in zip(self.raw[0][run], self.raw[1][run], strict=True)
            ]
            for run in _runs(self.whole)
        ]

    def band_svg(self, axes: Axes) -> str:
        if not self.has_band:
            return ""
        parts = []
        for run in _runs(self.whole):
            x, y, band = (values[run] for values in self.raw)
            upper = [(axes.x(float(a)), _held(axes.y(float(b)), axes)) for a, b in zip(x, y + band, strict=True)]
            lower = [(axes.x(float(a)), _held(axes.y(float(b)), axes)) for a, b in zip(x, y - band, strict=True)]
            parts.append(element("polygon", points=points(upper + lower[::-1]), fill=self.colour, fill_opacity="0.16"))
        return "".join(parts)

    def line_svg(self) -> str:
        dash = "6 4" if self.curve.computed else None
        parts = [
            element("polyline", points=points(run), fill="none", stroke=self.colour, stroke_width=1.8,
                    stroke_dasharray=dash, stroke_linejoin="round", stroke_linecap="round")
            for run in self.runs
        ]  # fmt: skip
        if sum(map(len, self.runs)) <= _SHOWN_POINTS and not self.curve.computed:
            parts += [
                element("circle", cx=x, cy=y, r=3.2, fill="var(--paper)", stroke=self.colour, stroke_width=1.8)
                for run in self.runs
                for x, y in run
            ]
        return "".join(parts)


def _thinned(y: Array) -> NDArray[np.intp]:
    """Indices of the lowest and highest value in each of some hundred stretches; all where there are few."""
    if y.size <= _MOST_POINTS:
        return np.arange(y.size)
    keep = {0, y.size - 1}
    for stretch in np.array_split(np.arange(y.size), _MOST_POINTS // 2):
        values = y[stretch]
        if np.all(np.isnan(values)):
            keep.add(int(stretch[0]))
            continue
        keep |= {int(stretch[np.nanargmin(values)]), int(stretch[np.nanargmax(values)])}
    return np.array(sorted(keep), dtype=np.intp)


def _runs(whole: NDArray[np.bool_]) -> list[NDArray[np.intp]]:
    indices = np.flatnonzero(whole)
    return [run for run in np.split(indices, np.flatnonzero(np.diff(indices) > 1) + 1) if run.size]


def _held(y: float, axes: Axes) -> float:
    return min(max(y, axes.top - 3), axes.bottom + 3)


def _axes(
    plotted: list[_Plotted],
    limits: Sequence[Level],
    x_ticks: Sequence[float] | None,
    y_range: tuple[float, float] | None,
    height: float,
) -> Axes:
    xs = [float(v) for one in plotted if one.x.size for v in (one.x.min(), one.x.max())] + list(x_ticks or ())
    ys = [float(v) for one in plotted if one.x.size for v in (one.low.min(), one.high.max())]
    ys += [limit.value for limit in limits]
    y_extent = y_range or round_range(min(ys), max(ys))
    x_extent = (min(xs), max(xs)) if max(xs) > min(xs) else round_range(xs[0], xs[0])
    widest = max((text_width(label, TICK_SIZE) for label in tick_labels(round_ticks(*y_extent))), default=20.0)
    return Axes(widest + 10, 24, WIDTH - 6, height - 40, x_extent, y_extent)


def _limit_boxes(axes: Axes, limits: Sequence[Level], obstacles: list[Point], taken: list[Box]) -> list[Box]:
    boxes: list[Box] = []
    for limit in limits:
        left, right = _ends(axes, limit)
        y, w = axes.y(limit.value), text_width(_short(limit.name), _LIMIT_SIZE)
        starts = [left + 4, (left + right - w) / 2, right - w - 4]
        candidates = [Box(x, y + dy, w, 14) for x in starts for dy in (-16, 3)]
        boxes.append(clear_place(candidates, obstacles, taken + boxes, axes))
    return boxes


def _name_boxes(axes: Axes, plotted: list[_Plotted], obstacles: list[Point], taken: list[Box]) -> list[Box]:
    """Where each curve's name stands: along the curve, above or below it, where least is in the way."""
    boxes: list[Box] = []
    for one in plotted:
        path = [point for run in one.runs for point in run]
        if not path:
            continue
        w = text_width(_short(one.curve.name), _NAME_SIZE)
        candidates = []
        for share in (0.72, 0.86, 0.55, 0.4, 1.0, 0.25):
            x, y = path[round(share * (len(path) - 1))]
            left = min(max(x - w / 2, axes.left), axes.right - w)
            candidates += [Box(left, y - 23, w, 16), Box(left, y + 8, w, 16)]
        boxes.append(clear_place(candidates, obstacles, taken + boxes, axes))
    return boxes


def _ends(axes: Axes, limit: Level) -> tuple[float, float]:
    left = axes.left if limit.x_from is None else axes.x(limit.x_from)
    right = axes.right if limit.x_to is None else axes.x(limit.x_to)
    return left, right


def _limit(axes: Axes, limit: Level, box: Box) -> str:
    left, right = _ends(axes, limit)
    y = axes.y(limit.value)
    line = element(
        "line", x1=left, x2=right, y1=y, y2=y, stroke="var(--ink)", stroke_width=1.1, stroke_dasharray="1.5 3"
    )
    return line + _label(box, limit.name, _LIMIT_SIZE, "var(--muted)")


def _marker_boxes(axes: Axes, markers: Sequence[Marker], obstacles: list[Point]) -> list[Box]:
    boxes: list[Box] = []
    for marker in markers:
        x, w = axes.x(marker.x), text_width(_short(marker.name), _LIMIT_SIZE)
        heights = [axes.bottom - 18, axes.top + 2]
        heights += [axes.bottom - share * (axes.bottom - axes.top) for share in (0.2, 0.5, 0.8)]
        candidates = [Box(left, y, w, 14) for y in heights for left in (x + 5, x - 5 - w)]
        boxes.append(clear_place(candidates, obstacles, boxes, axes))
    return boxes


def _marker(axes: Axes, marker: Marker, box: Box) -> str:
    x = axes.x(marker.x)
    line = element("line", x1=x, x2=x, y1=axes.top, y2=axes.bottom, stroke="var(--muted)", stroke_dasharray="1.5 3")
    return line + _label(box, marker.name, _LIMIT_SIZE, "var(--muted)")


def _short(name: str) -> str:
    return fitted(name, _NAME_SIZE, 0.62 * WIDTH)


def _label(box: Box, words: str, size: float, fill: str, weight: int | None = None) -> str:
    """Text on a thin ground of paper, so that a line behind it does not run through the letters."""
    middle, base, words = box.x + box.w / 2, box.y + box.h - 4, _short(words)
    under = element("g", text(middle, base, words, size=size, fill="none", anchor="middle", weight=weight),
                    stroke="var(--paper)", stroke_width=3.5, stroke_linejoin="round")  # fmt: skip
    return under + text(middle, base, words, size=size, fill=fill, anchor="middle", weight=weight)
