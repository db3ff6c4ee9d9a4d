"""What a page still waits for that no finding asks for yet: the raw material, and what it would settle."""

from collections.abc import Callable, Iterator

from partingline.facts.spoken import check_words
from partingline.model import Route
from partingline.publish.compose.pictures import ENDINGS
from partingline.readers.words import read_script
from partingline.workbench.live import LiveUnit, Shown

Wanting = tuple[str, str]
"""What to do, and what it settles."""
_SHOWN = 8


def wanting(page: str, unit: LiveUnit, shown: Shown) -> tuple[Wanting, ...]:
    """In the order in which one would do it; none where the page has all that it can have."""
    maker = _MAKERS.get(page)
    return tuple(maker(unit, shown)) if maker else ()


def _outside(unit: LiveUnit, shown: Shown) -> Iterator[Wanting]:
    routes = {one.route for fact in shown.opened.book.facts() for one in fact.statements}
    if not shown.opened.unit.model:
        yield "Type maker and model.", "names the unit on every page and in the report"
    if Route.LABEL not in routes:
        yield "Type the text of the label as it is printed.", "every rating that other routes are held against"
    if Route.LISTING not in routes:
        yield "Type the claims of the listing or the packaging.", "whether they are kept"


def _ports(unit: LiveUnit, shown: Shown) -> Iterator[Wanting]:
    ports = shown.opened.unit.ports
    if not ports:
        yield "Add the ports by the names on the case.", "offers against rating, currents, efficiency of each port"
    for port in ports:
        if not port.offers:
            yield f"Type or record what {port.id} offers.", "whether its rating is offered"
    if ports and not shown.opened.captures:
        yield "Drop a recording of the CC line.", "contracts, timing and levels by the rules of the protocol"


def _measurements(unit: LiveUnit, shown: Shown) -> Iterator[Wanting]:
    if not shown.opened.logs:
        yield "Drop the logs of load sweeps and of no load.", "efficiency, losses, regulation, no-load power"


def _opening(unit: LiveUnit, shown: Shown) -> Iterator[Wanting]:
    if not _photos(shown):
        yield "Drop the photos, the outside first.", "what every mark, pin and distance rests on"
    if not shown.opened.unit.opening:
        yield "Write the steps: what was done, with which tool, what came off.", "how to open another one"


def _boards(unit: LiveUnit, shown: Shown) -> Iterator[Wanting]:
    marks = shown.opened.marks
    pinned = {mark.subject for mark in marks}
    loose = [part.ref for part in shown.opened.unit.parts if part.subject not in pinned]
    if loose:
        yield f"Pin {_few(loose)}.", "where a reader finds them, and the place of their markings"
    scaled = {mark.photo for mark in marks if mark.text.casefold().startswith("scale:")}
    bare = [photo for photo in _photos(shown) if photo not in scaled and any(m.photo == photo for m in marks)]
    if bare:
        names = _few([photo.removeprefix("photos/") for photo in bare])
        yield f"Mark a known length on {names}, with the note ‘scale: 30 mm’.", "millimetres on that face"


def _parts(unit: LiveUnit, shown: Shown) -> Iterator[Wanting]:
    parts = shown.opened.unit.parts
    if not parts:
        yield "Add the parts, or paste them from a spreadsheet.", "ratings, margins, losses and the block diagram"
    bare = [part.ref for part in parts if not part.marking and not part.part_number and not part.role]
    if bare:
        yield f"Read {_few(bare)}, or say what they do.", "which rules they come under"


def _converter(unit: LiveUnit, shown: Shown) -> Iterator[Wanting]:
    if not shown.opened.unit.parts:
        yield "Name the parts first.", "stages, stresses and losses are computed from them"


def _spacing(unit: LiveUnit, shown: Shown) -> Iterator[Wanting]:
    outlines = [mark for mark in shown.opened.marks if mark.subject.startswith("barrier:") and mark.closed]
    if len(outlines) < 2:
        yield "Outline the copper on both sides of the barrier, on a photo with a scale.", "creepage and clearance"


def _words(unit: LiveUnit, shown: Shown) -> Iterator[Wanting]:
    text = unit.writer.read("words/captions.vtt")
    if not text.strip():
        yield "Drop or type the captions.", "whether what is said agrees with the facts"
        return
    checked = check_words(shown.opened.unit, shown.opened.book.facts(), read_script(text, "captions.vtt"))
    if checked.slips:
        yield f"Correct {len(checked.slips)} figures in captions.vtt.", "what is said then agrees with the facts"


def _photos(shown: Shown) -> tuple[str, ...]:
    return tuple(shown.opened.folder.names("photos", *ENDINGS))


def _few(names: list[str]) -> str:
    more = f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else ""
    return ", ".join(names[:_SHOWN]) + more


_MAKERS: dict[str, Callable[[LiveUnit, Shown], Iterator[Wanting]]] = {
    "outside": _outside, "ports": _ports, "measurements": _measurements, "opening": _opening, "boards": _boards,
    "parts": _parts, "converter": _converter, "spacing": _spacing, "words": _words,
}  # fmt: skip
