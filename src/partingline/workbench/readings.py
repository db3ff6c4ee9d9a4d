"""What could be read on the photos of a unit, what is proposed, and what a person makes of it.

A proposal is nothing until a person accepts it. An accepted marking is a mark on the photo whose words begin with
'reads:'; an accepted label is the label's text in `unit.toml`.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any, Protocol

from partingline.facts.opened import Opened
from partingline.facts.statements.parts import READS
from partingline.model import Region
from partingline.readers.photos import Mark
from partingline.readers.photos.reading import Proposal
from partingline.workbench.editing import ABSENT, Done, Path, RefusedError, Writer

if TYPE_CHECKING:
    from PIL.Image import Image

LABEL = "label"
_AROUND = 0.04
_MARKS, _UNIT = "photos/marks.json", "unit.toml"


@dataclass(frozen=True, slots=True)
class Place:
    """Something printed on a photo: of a part (`part:C3`) or the rating label (`label`).

    `region` is None for the whole picture; `now` is what is typed or was accepted before.
    """

    subject: str
    photo: str
    region: Region | None
    kind: str | None
    now: str


def places(opened: Opened, subjects: Iterable[str] = ()) -> tuple[Place, ...]:
    """Every place of the subjects named, or of all, in the order of photos; a part's pin is a rectangle on it."""
    wanted = frozenset(subjects)
    found = (*_labels(opened), *_parts(opened))
    return tuple(place for place in found if not wanted or place.subject in wanted)


def proposed(opened: Opened, chosen: Iterable[Place]) -> Iterator[tuple[Place, tuple[Proposal, ...]]]:
    """Each place with the lines read there, a photo opened once. PictureError where one cannot be read."""
    from partingline.readers.photos.grammar import understood
    from partingline.readers.photos.opening import open_picture, pixels
    from partingline.readers.photos.reading import propose

    shown: tuple[str, Image | None] = ("", None)
    for place in sorted(chosen, key=lambda one: one.photo):
        if shown[0] != place.photo:
            shown = (place.photo, pixels(open_picture(opened.folder.root / place.photo)))
        picture = shown[1]
        if picture is not None:
            kind = place.kind
            crop = picture if place.region is None else picture.crop(_box(place.region))
            yield place, propose(crop, partial(understood, kind=kind))


class Editor(Protocol):
    """Who writes: the folder's writer, or a live unit that tells everyone of it."""

    def edit(self, file: str, path: Path, value: Any, base: str, who: str) -> Done:
        """As `Writer.edit`."""


def accept(editor: Editor, writer: Writer, place: Place, text: str, who: str) -> tuple[Done, ...]:
    """What a person read there, as edits; RefusedError where a label is typed, ConflictError as for any edit."""
    text = text.strip()
    if not text:
        raise RefusedError(place.photo, "nothing read", "what is printed there", "Type it, or leave it.")
    if place.subject != LABEL:
        path = (f"#reads-{place.subject.removeprefix('part:')}",)
        _, version = _look(writer, _MARKS, path)
        annotation = _annotation(path[0], place, " ".join(text.split()))
        return (editor.edit(_MARKS, path, annotation, version, who),)
    now, version = _look(writer, _UNIT, ("label", "text"))
    if str(now or "").strip():
        raise RefusedError("unit.toml, label.text", "a label that is typed", "an empty one", "Correct it there.")
    done = [editor.edit(_UNIT, ("label", "text"), text, version, who)]
    pointed, version = _look(writer, _UNIT, ("label", "photo"))
    if not pointed:
        done.append(editor.edit(_UNIT, ("label", "photo"), place.photo, version, who))
    return tuple(done)


def told(place: Place) -> tuple[str, str, list[float] | None, str]:
    """Subject, photo, region as x, y, width and height in pixels, and what is typed now."""
    region = place.region
    return place.subject, place.photo, None if region is None else [region.x, region.y, region.w, region.h], place.now


def _labels(opened: Opened) -> Iterator[Place]:
    from partingline.readers.unitfile import read_unit_file

    label = read_unit_file(opened.folder).data.label
    marked = [Place(LABEL, m.photo, m.region, None, label.text) for m in opened.marks if m.subject == LABEL]
    if marked:
        yield from marked
    elif label.photo and opened.folder.has(label.photo):
        yield Place(LABEL, label.photo, None, None, label.text)


def _parts(opened: Opened) -> Iterator[Place]:
    parts = {part.subject: part for part in opened.unit.parts}
    seen: set[str] = set()
    for mark in opened.marks:
        part = parts.get(mark.subject)
        if part is not None and mark.closed and mark.subject not in seen:
            seen.add(mark.subject)
            yield Place(
                mark.subject, mark.photo, mark.region, part.kind or None, _read(opened.marks, mark) or part.marking
            )


def _read(marks: Iterable[Mark], of: Mark) -> str:
    words = (m.text for m in marks if m.subject == of.subject and m.text.casefold().startswith(READS))
    return next((text[len(READS) :].strip() for text in words), "")


def _box(region: Region) -> tuple[int, int, int, int]:
    more = _AROUND * max(region.w, region.h)
    x, y = region.x - more, region.y - more
    return int(x), int(y), int(region.x + region.w + more), int(region.y + region.h + more)


def _annotation(id_: str, place: Place, text: str) -> dict[str, Any]:
    """A second mark on the same place, so that the pin stays as it was drawn."""
    region = place.region or Region(0, 0, 1, 1)
    bodies = {"identifying": place.subject, "describing": f"{READS} {text}"}
    return {
        "@context": "http://www.w3.org/ns/anno.jsonld",
        "id": id_,
        "type": "Annotation",
        "body": [{"type": "TextualBody", "purpose": purpose, "value": said} for purpose, said in bodies.items()],
        "target": {
            "source": place.photo.removeprefix("photos/"),
            "selector": {
                "type": "FragmentSelector",
                "conformsTo": "http://www.w3.org/TR/media-frags/",
                "value": f"xywh=pixel:{region.x:g},{region.y:g},{region.w:g},{region.h:g}",
            },
        },
    }


def _look(writer: Writer, file: str, path: tuple[str | int, ...]) -> tuple[Any, str]:
    from partingline.workbench.editing import form_of

    text = writer.read(file)
    return form_of(file).look(text, path) if text else (None, ABSENT)
