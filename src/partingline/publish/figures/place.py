"""Where labels go so that none covers another: search outward from where each would like to be.

What comes in: wishes and a frame. What goes out: centres or boxes. Lengths in the units of the drawing.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle."""

    x: float
    y: float
    w: float
    h: float

    def overlaps(self, other: "Box", gap: float = 0.0) -> bool:
        """Whether the two come nearer than `gap`."""
        return (
            self.x < other.x + other.w + gap
            and other.x < self.x + self.w + gap
            and self.y < other.y + other.h + gap
            and other.y < self.y + self.h + gap
        )

    def near(self, point: Point, distance: float) -> bool:
        """Whether a point lies nearer than `distance` to the box."""
        dx = max(self.x - point[0], 0.0, point[0] - self.x - self.w)
        dy = max(self.y - point[1], 0.0, point[1] - self.y - self.h)
        return math.hypot(dx, dy) < distance


def place_boxes(
    wishes: list[Point], sizes: list[Point], width: float, height: float, avoid: list[Point]
) -> list[Box | None]:
    """A box of each size about each wish (its centre), inside the frame, apart from the others.

    Boxes keep off the points to `avoid` where they can. None for a box that has no room at all.
    """
    placed: list[Box | None] = []
    for (x, y), (w, h) in zip(wishes, sizes, strict=True):
        others = [box for box in placed if box]
        candidates = [
            Box(cx - w / 2, cy - h / 2, w, h) for cx, cy in _outward((x, y), h / 2, width, height, (w / 2, h / 2))
        ]
        free = [box for box in candidates if not any(box.overlaps(other, 2) for other in others)]
        clear = (box for box in free if not any(box.near(point, h / 2) for point in avoid))
        placed.append(next(clear, free[0] if free else None))
    return placed


def place_discs(
    wishes: list[Point], radius: float, width: float, height: float, boxes: list[Box]
) -> tuple[list[Point], float]:
    """Centres of discs that overlap neither each other nor the boxes, and their radius.

    The radius shrinks where the frame is too full; each disc stays as near its wish as the others let it, and
    off the wishes of the others where it can.
    """
    radius = min(radius, 0.45 * min(width, height))
    while True:
        placed: list[Point] = []
        for index, wish in enumerate(wishes):
            rivals = wishes[:index] + wishes[index + 1 :]
            spot = _free_spot(wish, radius, width, height, boxes, placed, rivals)
            if spot is None:
                break
            placed.append(spot)
        if len(placed) == len(wishes):
            return placed, radius
        radius *= 0.8
        boxes = boxes if radius > 3 else []


def _free_spot(
    wish: Point,
    radius: float,
    width: float,
    height: float,
    boxes: list[Box],
    placed: list[Point],
    rivals: list[Point],
) -> Point | None:
    gap = 0.2 * radius
    second_best: Point | None = None
    for spot in _outward(wish, 0.7 * radius, width, height, (radius, radius)):
        apart = all(math.dist(spot, other) >= 2 * radius + gap for other in placed)
        if not apart or any(box.near(spot, radius + gap) for box in boxes):
            continue
        if all(math.dist(spot, rival) >= radius + gap for rival in rivals):
            return spot
        second_best = second_best or spot
    return second_best


def _outward(wish: Point, step: float, width: float, height: float, margin: tuple[float, float]) -> Iterator[Point]:
    """The wish, then rings about it, held inside the frame; ends when the rings have left the frame."""
    low_x, high_x = min(margin[0], width / 2), max(width - margin[0], width / 2)
    low_y, high_y = min(margin[1], height / 2), max(height - margin[1], height / 2)
    start = min(max(wish[0], low_x), high_x), min(max(wish[1], low_y), high_y)
    yield start
    reach = math.hypot(width, height)
    ring = 1
    while ring * step < reach and ring < 120:
        count = 6 * ring if ring < 8 else 48
        for index in range(count):
            angle = math.tau * (index / count + 0.125)
            x, y = start[0] + ring * step * math.cos(angle), start[1] + ring * step * math.sin(angle)
            if low_x <= x <= high_x and low_y <= y <= high_y:
                yield x, y
        ring += 1
