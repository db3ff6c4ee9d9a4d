"""How the unit came apart: the steps as a strip, and what came off, from the outside in."""

from collections.abc import Sequence

from partingline.facts.opened import Opened
from partingline.model import OpeningStep
from partingline.publish.compose.pictures import MOST_BYTES
from partingline.publish.document import Drawing, Figure, Section, plain
from partingline.publish.figures.opening import Frame, exploded_order, opening_strip


def opening(opened: Opened) -> Section | None:
    """The steps in the order of work; None where none is told."""
    steps = tuple(enumerate(opened.unit.opening, 1))
    if not steps:
        return None
    strip = Drawing(opening_strip([_frame(opened, number, step, step.does) for number, step in steps]))
    told = "; ".join(f"{number} {step.does}" for number, step in steps)
    figures = [Figure("figure-opening", "Step by step", strip, (), f"Steps of opening: {told}.")]
    taken = [(number, step) for number, step in steps if step.takes]
    if len(taken) > 1:
        figures.append(_order(opened, taken))
    return Section("opening", "How it opens", tuple(figures), f"{len(steps)} step{'s' if len(steps) > 1 else ''}")


def _order(opened: Opened, taken: Sequence[tuple[int, OpeningStep]]) -> Figure:
    frames = [_frame(opened, number, step, step.takes) for number, step in taken]
    names = ", ".join(step.takes for _, step in taken)
    caption = plain("In the order in which the pieces came off; put together from the right.")
    alt = f"Pieces along one axis from the outside in: {names}."
    return Figure("figure-exploded", "Exploded order", Drawing(exploded_order(frames)), caption, alt)


def _frame(opened: Opened, number: int, step: OpeningStep, words: str) -> Frame:
    path = opened.folder.path(step.photo) if step.photo else None
    data = path.read_bytes() if path is not None and path.stat().st_size <= MOST_BYTES else b""
    return Frame(number, words, step.tool, data, step.region)
