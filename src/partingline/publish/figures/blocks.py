"""The converter as blocks: primary stages, what crosses the barrier, secondary stages, each with its parts.

What comes in: stages with named parts. What goes out: an SVG. What was not found is hollow.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from partingline.publish.figures.svg import drawing, element, fitted, points, text, wrapped

WIDTH = 880.0
_LEFT, _GAP, _ROW_GAP = 78.0, 24.0, 48.0
_NAME, _PART = 13.5, 12.0
_LINE = 15.5
Side = Literal["primary", "barrier", "secondary"]
_SIDES: tuple[Side, ...] = ("primary", "barrier", "secondary")


@dataclass(frozen=True, slots=True)
class StagePart:
    """A part in a stage: its reference, its role, its value; `missing` where the role is unfilled."""

    ref: str
    role: str
    value: str = ""
    missing: bool = False


@dataclass(frozen=True, slots=True)
class Stage:
    """A stage with its parts, on its side of the barrier. `kind` is the circuit that it is, in words.

    `branch`: power comes from the first stage of the row, not from the one before it, as to ports side by side.
    """

    name: str
    side: Side
    parts: tuple[StagePart, ...] = field(default=())
    kind: str = ""
    branch: bool = False

    @property
    def missing(self) -> bool:
        """Whether nothing in it was found."""
        return all(part.missing for part in self.parts)

    def kind_lines(self, width: float) -> list[str]:
        """The kind of circuit, broken to the box."""
        return wrapped(self.kind, _PART, width - 20) if self.kind else []


def block_diagram(stages: Sequence[Stage]) -> str:
    """The diagram as SVG: the sides as rows in the direction of power, at most four stages across."""
    rows: list[tuple[Side, list[Stage]]] = []
    for side in _SIDES:
        inside = [stage for stage in stages if stage.side == side]
        rows += [(side, inside[start : start + 4]) for start in range(0, len(inside), 4)]
    if not rows:
        return drawing(WIDTH, 60, text(0, 34, "no stages to draw", size=_NAME, fill="var(--muted)"))
    parts: list[str] = []
    y, before, count = (28.0 if _forks(rows[0][1]) else 10.0), None, 0
    sides = {side for side, _ in rows}
    for side, row in rows:
        height = max(_height(stage, _box_width(row)) for stage in row)
        if before is not None:
            if side != before:
                parts.append(_barrier(y - _ROW_GAP / 2))
            parts.append(_down(before, row, count, y))
        named = side if side != before and len(sides) > 1 else ""
        parts.append(text(0, y + 20, named, size=_NAME, fill="var(--muted)") if named else "")
        parts += _row(row, y, height, linked=side != "barrier")
        y, before, count = y + height + _ROW_GAP, side, len(row)
    return drawing(WIDTH, y - _ROW_GAP + 10, "".join(parts))


def _forks(row: list[Stage]) -> bool:
    """Whether an arrow runs above the boxes."""
    return any(stage.branch for stage in row[2:])


def _row(row: list[Stage], y: float, height: float, *, linked: bool) -> list[str]:
    width = _box_width(row)
    parts = []
    for index, stage in enumerate(row):
        x = _LEFT + index * (width + _GAP)
        if linked and index > 1 and stage.branch:
            fork = _LEFT + width + _GAP / 2
            parts.append(_arrow([(fork, y + 18), (fork, y - 12), (x + width / 2, y - 12), (x + width / 2, y)]))
        elif linked and index:
            parts.append(_arrow([(x - _GAP, y + 18), (x, y + 18)]))
        parts.append(_box(stage, x, y, width, height))
    return parts


def _box_width(row: list[Stage]) -> float:
    return _box_width_of(len(row))


def _box_width_of(stages: int) -> float:
    count = max(stages, 3)
    return (WIDTH - _LEFT - 2 - (count - 1) * _GAP) / count


def _height(stage: Stage, width: float) -> float:
    lines = sum(len(_lines(part, width)) for part in stage.parts) + len(stage.kind_lines(width))
    return 34 + _LINE * lines + (4 if stage.parts else 0)


def _lines(part: StagePart, width: float) -> list[str]:
    """The part in one line where it fits, else its value in a line below."""
    head = f"{part.ref} {part.role}".strip()
    whole = f"{head} {part.value}".strip()
    one = wrapped(whole, _PART, width - 30)
    if len(one) == 1:
        return one
    return [fitted(head, _PART, width - 30), *([fitted(part.value, _PART, width - 30)] if part.value else [])]


def _box(stage: Stage, x: float, y: float, width: float, height: float) -> str:
    hollow = stage.missing
    parts = [
        element("rect", x=x, y=y, width=width, height=height, fill="none" if hollow else "var(--tint)",
                stroke="var(--muted)" if hollow else "var(--ink)", stroke_dasharray="4 3" if hollow else None),
        text(x + 10, y + 20, fitted(stage.name, _NAME, width - 20), size=_NAME, weight=600,
             fill="var(--muted)" if hollow else "var(--ink)"),
    ]  # fmt: skip
    base = y + 40
    for line in stage.kind_lines(width):
        parts.append(text(x + 10, base - 3, line, size=_PART, fill="var(--muted)"))
        base += _LINE
    for part in stage.parts:
        fill = "var(--muted)" if part.missing else "var(--ink)"
        parts.append(
            element("circle", cx=x + 13, cy=base - 4, r=2.6, fill="none" if part.missing else fill, stroke=fill)
        )
        for line in _lines(part, width):
            parts.append(text(x + 21, base, line, size=_PART, fill=fill))
            base += _LINE
    return "".join(parts)


def _down(before: Side, row: list[Stage], count: int, y: float) -> str:
    """Power goes on from the last stage of a row, or straight across the barrier, to the first of the next; to a port
    that found no room in the row from its first stage."""
    to = _LEFT + _box_width(row) / 2
    if before == "barrier" or row[0].branch:
        return _arrow([(to, y - _ROW_GAP), (to, y)])
    width = _box_width_of(count)
    start = _LEFT + (count - 1) * (width + _GAP) + width / 2
    bend = y - _ROW_GAP + 12
    return _arrow([(start, y - _ROW_GAP), (start, bend), (to, bend), (to, y)])


def _barrier(y: float) -> str:
    line = element("line", x1=0, x2=WIDTH, y1=y, y2=y, stroke="var(--short)", stroke_width=1.4, stroke_dasharray="7 4")
    return line + text(0, y - 6, "isolation", size=_PART, fill="var(--short)")


def _arrow(path: list[tuple[float, float]]) -> str:
    x1, y1 = path[-1]
    across = x1 > path[-2][0] + 1
    head = [(x1 - 7, y1 - 4), (x1, y1), (x1 - 7, y1 + 4)] if across else [(x1 - 4, y1 - 7), (x1, y1), (x1 + 4, y1 - 7)]
    line = element("polyline", points=points(path), fill="none", stroke="var(--ink)", stroke_width=1.2)
    return line + element("polyline", points=points(head), fill="none", stroke="var(--ink)", stroke_width=1.2)
