"""Maps over line and load: a field as even steps of one colour with labelled contours, or regions with their names.

What comes in: values on a grid. What goes out: an SVG. Where there is no value the paper stays blank.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from partingline.publish.figures.axes import Axes, frame, round_ticks, tick_labels
from partingline.publish.figures.contours import Node, areas, borders
from partingline.publish.figures.place import Box
from partingline.publish.figures.svg import drawing, element, number, points, text, text_width

WIDTH, HEIGHT = 440.0, 262.0
PALEST, FULLEST = 0.06, 0.86
"""Share of the colour over the paper in the lowest and the highest step."""
_LABEL = 11.0
Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Grid:
    """Where a map's values stand: line in V (rows) and load as a share of the offer (columns); points were measured."""

    mains: Sequence[float]
    loads: Sequence[float]
    measured: Sequence[tuple[float, float]] = ()


@dataclass(frozen=True, slots=True)
class Field:
    """A quantity on a grid, rows by line; `unit` stands at the contours, `token` is its colour."""

    values: Array
    unit: str
    token: str = "copper"
    most: int = 10


def field_map(grid: Grid, field: Field) -> str:
    """The field in steps between round contours, darker (on the dark page: brighter) where it is more."""
    axes = _axes(grid)
    finite = field.values[np.isfinite(field.values)]
    if not finite.size:
        return drawing(WIDTH, 60, text(0, 34, "no values to draw", size=12, fill="var(--muted)"))
    levels = _levels(finite, field.most)
    onto = _placed(axes, grid)
    parts = [_region(areas(field.values, -np.inf), onto, field.token, PALEST)]
    for level, opacity in zip(levels, _layers(len(levels)), strict=True):
        parts.append(_region(areas(field.values, level), onto, field.token, opacity))
    parts += [_frame(axes, grid), _contours(field.values, levels, onto, axes, field.unit), _measured(axes, grid)]
    return drawing(WIDTH, HEIGHT, "".join(parts))


def mode_map(grid: Grid, modes: Sequence[Sequence[str]], field: Field) -> str:
    """Regions of modes, each with its name in it, under the contours of a field; blank where there is none."""
    axes = _axes(grid)
    names = [name for name, _ in Counter(one for row in modes for one in row if one).most_common()]
    onto = _placed(axes, grid)
    finite = field.values[np.isfinite(field.values)]
    levels = _levels(finite, field.most)
    parts, taken = [], []
    for index, name in enumerate(names):
        inside = np.array([[one == name for one in row] for row in modes])
        opacity = 0.08 + 0.34 * index / max(len(names) - 1, 1)
        parts.append(_region(list(_cells(inside)), onto, "slate", opacity))
        taken.append(_name_box(name, inside, onto, axes))
    parts += [_frame(axes, grid), _contours(field.values, levels, onto, axes, field.unit, taken), _measured(axes, grid)]
    parts += [_words(box, name) for box, name in zip(taken, names, strict=True)]
    return drawing(WIDTH, HEIGHT, "".join(parts))


def _levels(finite: Array, most: int) -> list[float]:
    """Round levels between the extremes; a plateau at an extreme has no border of its own."""
    if not finite.size or not finite.max() > finite.min():
        return []
    room = 1e-6 * float(np.ptp(finite))
    return [level for level in round_ticks(float(finite.min()), float(finite.max()), most=most)
            if finite.min() + room < level < finite.max() - room]  # fmt: skip


def shares(steps: int) -> list[float]:
    """The share of the colour over the paper in each step, evenly from the palest to the fullest."""
    return [float(one) for one in np.linspace(PALEST, FULLEST, steps)]


def _layers(count: int) -> list[float]:
    """The opacity of each layer laid over those before it, so that the steps come out as `shares` says."""
    wanted = shares(count + 1)
    return [1 - (1 - high) / (1 - low) for low, high in pairwise(wanted)]


def _axes(grid: Grid) -> Axes:
    x_range = (grid.loads[0] * 100, grid.loads[-1] * 100)
    return Axes(40, 24, WIDTH - 8, HEIGHT - 40, x_range, (grid.mains[0], grid.mains[-1]))


def _frame(axes: Axes, grid: Grid) -> str:
    x_ticks, y_ticks = round_ticks(*axes.x_range, most=7), round_ticks(*axes.y_range, most=6)
    return frame(axes, x_ticks, y_ticks, "% load", "V mains")


def _placed(axes: Axes, grid: Grid) -> Callable[[Node], Node]:
    """From (column, row) of the grid to the drawing."""
    across, down = [axes.x(load * 100) for load in grid.loads], [axes.y(mains) for mains in grid.mains]
    return lambda node: (_along(across, node[0]), _along(down, node[1]))


def _along(places: Sequence[float], at: float) -> float:
    first = min(int(at), len(places) - 2)
    return places[first] + (at - first) * (places[first + 1] - places[first])


def _region(pieces: Sequence[Sequence[Node]], onto: Callable[[Node], Node], token: str, opacity: float) -> str:
    """All pieces in one path, so that no seams show between them."""
    if not pieces:
        return ""
    told = ("M" + "L".join(f"{_one(x)} {_one(y)}" for x, y in map(onto, piece)) + "Z" for piece in pieces)
    return element("path", d="".join(told), fill=f"var(--{token})", fill_opacity=f"{opacity:.3f}")


def _one(value: float) -> str:
    return number(round(value, 1))


def _cells(inside: NDArray[np.bool_]) -> list[list[Node]]:
    """Stretches of nodes that are inside, each node as the cell about it, held to the frame."""
    rows, columns = inside.shape
    found = []
    for row in range(rows):
        edges = np.flatnonzero(np.diff(np.concatenate([[0], inside[row].astype(int), [0]])))
        for first, last in zip(edges[::2], edges[1::2], strict=True):
            left, right = max(first - 0.5, 0.0), min(last - 0.5, columns - 1.0)
            low, high = max(row - 0.5, 0.0), min(row + 0.5, rows - 1.0)
            found.append([(left, low), (right, low), (right, high), (left, high)])
    return found


def _contours(
    values: Array, levels: Sequence[float], onto: Callable[[Node], Node], axes: Axes, unit: str,
    before: Sequence[Box] = (),
) -> str:  # fmt: skip
    """Each level as a line with its value on it, where it is out of the way of the others."""
    lines, labels = [], []
    taken = list(before)
    for level, said in zip(levels, tick_labels(list(levels)), strict=True):
        named = False
        for border in borders(values, level):
            path = [onto(node) for node in border]
            lines.append(element("polyline", points=points([(round(x, 1), round(y, 1)) for x, y in path]), fill="none",
                                 stroke="var(--ink)", stroke_width=0.8, stroke_opacity="0.75"))  # fmt: skip
            box = _on_line(f"{said} {unit}", path, axes, taken)
            if not named and box is not None:
                taken.append(box)
                labels.append(_words(box, f"{said} {unit}"))
                named = True
    return "".join(lines + labels)


def _on_line(words: str, path: list[Node], axes: Axes, taken: list[Box]) -> Box | None:
    """A place along the line that lies in the frame and off the labels that are set; None where there is none."""
    w, h = text_width(words, _LABEL), 14.0
    for share in (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9):
        x, y = path[round(share * (len(path) - 1))]
        box = Box(x - w / 2, y - h / 2, w, h)
        fits = axes.left < box.x and box.x + w < axes.right and axes.top < box.y and box.y + h < axes.bottom
        if fits and not any(box.overlaps(other, 3.0) for other in taken):
            return box
    return None


def _name_box(name: str, inside: NDArray[np.bool_], onto: Callable[[Node], Node], axes: Axes) -> Box:
    """About the node that lies deepest in the region."""
    depth = inside.astype(int)
    shrunk = inside.copy()
    while shrunk.any():
        around = np.pad(shrunk, 1)
        shrunk = shrunk & around[:-2, 1:-1] & around[2:, 1:-1] & around[1:-1, :-2] & around[1:-1, 2:]
        depth += shrunk
    row, column = np.unravel_index(int(np.argmax(depth)), depth.shape)
    x, y = onto((float(column), float(row)))
    w = text_width(name, 12)
    return Box(
        min(max(x - w / 2, axes.left + 2), axes.right - w - 2), min(max(y - 8, axes.top), axes.bottom - 18), w, 16
    )


def _words(box: Box, words: str) -> str:
    middle, base = box.x + box.w / 2, box.y + box.h - 4
    under = element("g", text(middle, base, words, size=_LABEL, fill="none", anchor="middle"), stroke="var(--paper)",
                    stroke_width=3.5, stroke_linejoin="round")  # fmt: skip
    return under + text(middle, base, words, size=_LABEL, anchor="middle")


def _measured(axes: Axes, grid: Grid) -> str:
    """A small ring at each measured point."""
    parts = []
    for mains, load in grid.measured:
        inside = grid.mains[0] <= mains <= grid.mains[-1] and grid.loads[0] <= load <= grid.loads[-1]
        if inside:
            parts.append(element("circle", cx=axes.x(load * 100), cy=axes.y(mains), r=3.2, fill="var(--paper)",
                                 stroke="var(--ink)", stroke_width=1.3))  # fmt: skip
    return "".join(parts)
