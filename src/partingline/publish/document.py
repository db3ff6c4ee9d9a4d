"""The published page as frozen data: what is said, never how it is set. No HTML, no file, no layout in here.

What comes in: composed facts and findings. What goes out: a `Document` that the HTML, PDF and Markdown
renderers read.

A `ref` is the id of an entry somewhere in the same document (a fact, a file, a source, a finding, a figure, a
section); ids are any text, unique in the document, and the renderers make anchors of them. A ref without its
entry is set as plain text: `anchors.unresolved_refs` lists those. Texts are set as they are, never as markup.
"""

from dataclasses import dataclass
from enum import StrEnum

from partingline.model import Standing, Verdict

Status = Verdict | Standing
"""A word with its shape: the outcome of a rule, or how a claim stands."""


class Kind(StrEnum):
    """What a stretch of text is, so that each renderer can set it."""

    PLAIN = "plain"
    VALUE = "value"
    U = "u"
    UNIT = "unit"
    MUTED = "muted"
    STRONG = "strong"


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of text; with a ref it leads to that entry. A `url` (http, https) is for cited documents."""

    text: str
    ref: str | None = None
    kind: Kind = Kind.PLAIN
    url: str | None = None


Spans = tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Amount:
    """A number as printed: `value` and `u` in the same unit, rounded; `suffix` a small word such as 'trips'.

    `value` may be a text as it was said ('VI', '45 W + 18 W', '3.4 … 3.9') with `unit` empty.
    """

    value: str
    u: str = ""
    unit: str = ""
    suffix: str = ""
    ref: str | None = None


@dataclass(frozen=True, slots=True)
class KeyFigure:
    """One of the numbers that the trade asks for first, with the words under it."""

    amount: Amount
    caption: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text."""

    spans: Spans


@dataclass(frozen=True, slots=True)
class Items:
    """A list of sentences; numbered where the order says something."""

    items: tuple[Spans, ...]
    ordered: bool = False


@dataclass(frozen=True, slots=True)
class Caution:
    """What can hurt or mislead, set apart from the text."""

    title: str
    items: tuple[Spans, ...]


@dataclass(frozen=True, slots=True)
class RouteCell:
    """What one route says of one fact; `odd` marks the one that does not fit the others."""

    amount: Amount
    odd: bool = False


@dataclass(frozen=True, slots=True)
class RouteRow:
    """One fact: a cell for each column of the table, each with no, one or several statements."""

    name: str
    cells: tuple[tuple[RouteCell, ...], ...]
    standing: Status
    condition: str = ""
    ref: str | None = None


@dataclass(frozen=True, slots=True)
class RouteTable:
    """One line, one fact; one column, one way of knowing it. `columns` names the routes only."""

    columns: tuple[str, ...]
    rows: tuple[RouteRow, ...]
    caption: str = ""


class Align(StrEnum):
    """How the cells of a column line up."""

    LEFT = "left"
    RIGHT = "right"
    CENTRE = "center"


@dataclass(frozen=True, slots=True)
class Column:
    """The head of a column."""

    head: str
    align: Align = Align.LEFT


@dataclass(frozen=True, slots=True)
class TableCell:
    """A cell: text, and where it judges something, the word with its shape before it."""

    spans: Spans = ()
    status: Status | None = None


@dataclass(frozen=True, slots=True)
class TableRow:
    """A row; the first cell is its head. With an `id` it is an entry that refs can lead to."""

    cells: tuple[TableCell, ...]
    id: str | None = None


@dataclass(frozen=True, slots=True)
class TableGroup:
    """Rows under a common heading; an empty title for none."""

    title: str
    rows: tuple[TableRow, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table of text cells, in groups."""

    columns: tuple[Column, ...]
    groups: tuple[TableGroup, ...]
    caption: str = ""


@dataclass(frozen=True, slots=True)
class FindingItem:
    """A finding: the verdict, its sentence, the source of the limit, and what it rests on.

    `evidence` are spans with refs; `margin` the printed distance to the limit or probability of conformity;
    `next_step` what would settle it.
    """

    id: str
    verdict: Verdict
    sentence: Spans
    source: Spans
    evidence: Spans = ()
    margin: str = ""
    next_step: str = ""


@dataclass(frozen=True, slots=True)
class FindingList:
    """Findings in the order in which they should be read."""

    items: tuple[FindingItem, ...]


@dataclass(frozen=True, slots=True)
class Callout:
    """A numbered pin on a photo, in pixels of its data; `ref` leads to the part or fact."""

    number: str
    x: float
    y: float
    label: str
    ref: str | None = None


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed region on a photo, in pixels of its data."""

    points: tuple[tuple[float, float], ...]
    label: str = ""


@dataclass(frozen=True, slots=True)
class Measure:
    """A measured path on a photo, in pixels of its data: what was found, and what it is held against."""

    points: tuple[tuple[float, float], ...]
    label: str
    limit: str = ""


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture with what was marked on it. `data` is a JPEG, PNG or WebP of `width` × `height` pixels."""

    data: bytes
    media_type: str
    width: int
    height: int
    callouts: tuple[Callout, ...] = ()
    outlines: tuple[Outline, ...] = ()
    measures: tuple[Measure, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawing:
    """A chart or diagram: one `<svg>` element whose colours are `var(--name)` of the tokens in `look.py`."""

    svg: str


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture with its title, its caption, and `alt`: what it shows, for someone who cannot see it."""

    id: str
    title: str
    content: Drawing | Photo
    caption: Spans
    alt: str


@dataclass(frozen=True, slots=True)
class FigureRow:
    """Figures side by side where there is room."""

    figures: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class TimelineEvent:
    """Something that happened: when, what, and the detail beside it."""

    time: str
    what: Spans
    detail: Spans = ()


@dataclass(frozen=True, slots=True)
class Timeline:
    """Events in the order of time."""

    events: tuple[TimelineEvent, ...]


@dataclass(frozen=True, slots=True)
class KeyFigures:
    """Numbers in a line."""

    figures: tuple[KeyFigure, ...]


@dataclass(frozen=True, slots=True)
class FactEntry:
    """A fact in the list that every number leads to: its value, how it is known, and what it rests on.

    `basis` are spans with refs to evidence entries, to other facts, or to sources.
    """

    id: str
    name: str
    value: Spans
    how: str
    basis: Spans = ()


@dataclass(frozen=True, slots=True)
class FactList:
    """Facts that the document speaks of. How they are known is left out where no entry tells it."""

    entries: tuple[FactEntry, ...]


@dataclass(frozen=True, slots=True)
class EvidencePlace:
    """A place in a file that something rests on: rows, samples, a region, a line; empty for the whole file."""

    id: str
    place: str


@dataclass(frozen=True, slots=True)
class EvidenceFile:
    """A file of the unit folder, with the hash of its content and the places in it that were referred to."""

    file: str
    sha256: str
    places: tuple[EvidencePlace, ...]


@dataclass(frozen=True, slots=True)
class EvidenceList:
    """The evidence that the facts rest on, a file at a time."""

    files: tuple[EvidenceFile, ...]


@dataclass(frozen=True, slots=True)
class Source:
    """A published document: title with edition, and how it was read."""

    id: str
    title: str
    detail: str = ""
    url: str = ""


@dataclass(frozen=True, slots=True)
class Bibliography:
    """The documents that limits and calculations come from."""

    entries: tuple[Source, ...]


Block = (
    Paragraph | Items | Caution | RouteTable | Table | FindingList | Figure | FigureRow | Timeline
    | KeyFigures | FactList | EvidenceList | Bibliography
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Section:
    """A headed part of the page; `note` is the small line beside its title."""

    id: str
    title: str
    blocks: tuple[Block, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Document:
    """A page: the verdict first, then the figures that the trade asks for, then the sections.

    `notice` says what must not be overlooked ('Invented demonstration unit'); `meta` are the small lines
    beside the title.
    """

    title: str
    subtitle: str
    lead: Spans
    sections: tuple[Section, ...]
    key_figures: tuple[KeyFigure, ...] = ()
    notice: str = ""
    meta: tuple[str, ...] = ()
    language: str = "en"


def plain(text: str) -> Spans:
    """Text without anything to follow."""
    return (Span(text),)


def amount_spans(amount: Amount) -> Spans:
    """An amount for running text and table cells: value, uncertainty, unit and suffix, leading to its ref."""
    spans = [Span(amount.value, amount.ref, Kind.VALUE)]
    if amount.u:
        spans.append(Span(f"\N{NO-BREAK SPACE}±\N{NO-BREAK SPACE}{amount.u}", amount.ref, Kind.U))
    if amount.unit:
        gap = "" if amount.unit == "°" else "\N{NO-BREAK SPACE}"
        spans.append(Span(f"{gap}{amount.unit}", amount.ref, Kind.UNIT))
    if amount.suffix:
        spans.append(Span(f" {amount.suffix}", None, Kind.MUTED))
    return tuple(spans)
