"""Photos with their pins, outlines and measured paths."""

import io
import math
from collections import Counter
from collections.abc import Sequence

from partingline.facts.opened import Opened
from partingline.facts.show import show_fact, show_value
from partingline.facts.statements.barriers import MeasuredPath
from partingline.model import Finding, Key
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import Callout, Figure, FigureRow, Measure, Outline, Photo, Section, plain
from partingline.readers.photos import Mark
from partingline.readers.photos.opening import PictureError, open_picture, pixels
from partingline.sources import roles

ENDINGS = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif", ".tif", ".tiff")
MOST_BYTES = 64 << 20
_SHOWN = ("JPEG", "PNG", "WEBP")


def pictures(opened: Opened, findings: Sequence[Finding], ledger: Ledger) -> Section | None:
    """Every photo: the two faces of a board side by side, others with marks alone, the rest in pairs; None without."""
    names = opened.folder.names("photos", *ENDINGS)
    figures = [figure for name in names if (figure := _figure(opened, name, findings, ledger)) is not None]
    marked = [figure for figure in figures if isinstance(figure.content, Photo) and figure.content.callouts]
    others = [figure for figure in figures if figure not in marked]
    if not figures:
        return None
    pairs = [FigureRow(tuple(others[i : i + 2])) for i in range(0, len(others), 2)]
    return Section("photos", "Outside and boards", (*pairs, *_faces(opened, marked)), f"{len(figures)} photos")


def _faces(opened: Opened, marked: Sequence[Figure]) -> list[Figure | FigureRow]:
    """Top and bottom of one board as a row, at the place of the first; by the board and side of the parts pinned."""
    shown = [_face(opened, figure) for figure in marked]
    blocks: list[Figure | FigureRow] = []
    done: set[int] = set()
    for at, (board, side) in enumerate(shown):
        if at in done:
            continue
        other = next((n for n, (b, s) in enumerate(shown) if n > at and b == board != "" and s != side), None)
        done |= {at} if other is None else {at, other}
        both = (
            [marked[at]]
            if other is None
            else [marked[n] for n in sorted((at, other), key=lambda n: shown[n][1] != "top")]
        )
        blocks.append(both[0] if other is None else FigureRow(tuple(both)))
    return blocks


def _face(opened: Opened, figure: Figure) -> tuple[str, str]:
    """Board and side of most parts that are pinned there."""
    name = figure.id.removeprefix("figure-")
    pinned = {mark.subject for mark in opened.marks if mark.photo == name}
    told = Counter((part.board, part.side) for part in opened.unit.parts if part.subject in pinned)
    return told.most_common(1)[0][0] if told else ("", "")


def _figure(opened: Opened, name: str, findings: Sequence[Finding], ledger: Ledger) -> Figure | None:
    photo = _photo(opened, name)
    if photo is None:
        return None
    marks = [mark for mark in opened.marks if mark.photo == name]
    callouts, key = _callouts(opened, marks, ledger)
    outlines = tuple(Outline(mark.points, mark.text) for mark in marks if _is_outline(mark))
    drawn = [m for mark in marks if (m := _measure(opened, mark, findings)) is not None]
    measures = (*drawn, *_found(opened, name, findings))
    shown = Photo(photo.data, photo.media_type, photo.width, photo.height, callouts, outlines, measures)
    title = _title(name)
    alt = f"{title}. {len(callouts)} parts are pinned: {', '.join(key)}." if key else f"{title}."
    return Figure(f"figure-{name}", title, shown, plain(name), alt)


def _photo(opened: Opened, name: str) -> Photo | None:
    """A photo as pages can hold it: what browsers do not show is written anew as JPEG."""
    path = opened.folder.root / name
    if path.stat().st_size > MOST_BYTES:
        found = f"{path.stat().st_size >> 20} MiB"
        opened.folder.report(name, found, f"at most {MOST_BYTES >> 20} MiB", "Scale a copy.")
        return None
    try:
        picture = open_picture(path)
        if picture.kind in _SHOWN:
            media, data = f"image/{picture.kind.lower()}", path.read_bytes()
        else:
            out = io.BytesIO()
            pixels(picture).save(out, "JPEG", quality=92)
            media, data = "image/jpeg", out.getvalue()
    except PictureError as error:
        opened.folder.report(name, error.found, error.expected, error.next_step)
        return None
    return Photo(data, media, picture.width, picture.height)


def _callouts(opened: Opened, marks: Sequence[Mark], ledger: Ledger) -> tuple[tuple[Callout, ...], list[str]]:
    parts = {part.subject: part for part in opened.unit.parts}
    pinned = [mark for mark in marks if mark.subject in parts]
    order = list(parts)
    pinned.sort(key=lambda mark: order.index(mark.subject))
    callouts, key = [], []
    for number, mark in enumerate(pinned, 1):
        part, region = parts[mark.subject], mark.region
        role = roles()[part.role].name if part.role else part.kind
        callouts.append(Callout(str(number), region.x, region.y, f"{part.ref} {role}", f"row-{part.ref}"))
        key.append(f"{number} {part.ref} {role}")
    return tuple(callouts), key


def _is_outline(mark: Mark) -> bool:
    return mark.closed and not mark.subject.startswith("part:")


def _measure(opened: Opened, mark: Mark, findings: Sequence[Finding]) -> Measure | None:
    """An open path on a barrier is the measured distance that its text names; with a scale, its own length."""
    if mark.closed or not mark.subject.startswith("barrier:"):
        return None
    own = next((one for one in opened.paths if one.drawn and one.points == mark.points), None)
    if own is not None and own.photo == mark.photo:
        return Measure(mark.points, f"{own.key.quantity} drawn by hand {_length(own)}")
    quantity = next((q for q in ("creepage", "clearance") if q in mark.text.casefold()), None)
    fact = opened.book.fact(Key.of(mark.subject, quantity)) if quantity else None
    if fact is None or quantity is None:
        return Measure(mark.points, mark.text)
    return Measure(mark.points, f"{quantity} {show_fact(fact)}", _asked(fact.key, findings))


def _found(opened: Opened, name: str, findings: Sequence[Finding]) -> list[Measure]:
    """Shortest paths that were found on the photo, each beside the one that a person has drawn there."""
    found = []
    for path in opened.paths:
        if path.photo == name and not path.drawn:
            hands = (one for one in opened.paths if one.drawn and (one.photo, one.key) == (name, path.key))
            said = [_asked(path.key, findings), *(_beside(path, hand) for hand in hands)]
            label = f"{path.key.quantity} {_length(path)}"
            found.append(Measure(path.points, label, "; ".join(filter(None, said))))
    return found


def _beside(found: MeasuredPath, hand: MeasuredPath) -> str:
    """Which of two paths is the shorter; alike where they differ by less than their points are known."""
    less = hand.value.value - found.value.value
    pointed = math.sqrt(sum(c.u**2 for c in found.value.components if not c.cause.startswith("scale:")))
    if abs(less) < pointed:  # both lie on one picture: its scale cancels
        return "as long as the one drawn by hand"
    way = "shorter" if less > 0 else "longer"
    apart = show_value(float(f"{abs(less):.2g}"), found.key.quantity)
    return f"{apart} {way} than the one drawn by hand"


def _length(path: MeasuredPath) -> str:
    return show_value(path.value.value, path.key.quantity, path.value.u)


def _asked(key: Key, findings: Sequence[Finding]) -> str:
    asked = next((f.limit.low for f in findings if f.key == key and f.limit and f.limit.low), None)
    return f"{show_value(asked, key.quantity)} asked" if asked else ""


def _title(name: str) -> str:
    stem = name.rpartition("/")[2].rpartition(".")[0]
    return stem.replace("-", " ").replace("_", " ").capitalize()
