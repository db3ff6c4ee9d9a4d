"""The document as plain GitHub Markdown, with the figures as files beside it.

What comes in: a `Document`. What goes out: file names with their content. Anchors are `<a id>`: headings
alone cannot carry the ids of facts and evidence. GitHub keeps them.
"""

import re

from partingline.publish.anchors import anchors, by_link
from partingline.publish.document import (
    Align,
    Amount,
    Bibliography,
    Block,
    Caution,
    Document,
    Drawing,
    EvidenceFile,
    EvidenceList,
    FactList,
    Figure,
    FigureRow,
    FindingList,
    Items,
    KeyFigure,
    KeyFigures,
    Paragraph,
    Photo,
    RouteCell,
    RouteTable,
    Source,
    Span,
    Spans,
    Status,
    Table,
    TableCell,
    Timeline,
    amount_spans,
)
from partingline.publish.figures.photo import annotated_photo
from partingline.publish.look import GLYPHS, LIGHT, concrete, shape_of
from partingline.publish.printable import printable
from partingline.publish.words.languages import frame

_MARKUP = re.compile(r"[\\`*_\[\]<>|~$@]|&(?=[#A-Za-z])|:(?=//|[a-z0-9_+-]+:)|(?<=www)\.")
_LINE_START = re.compile(r"^(\s*)(?:([#>+=-])|(\d+)([.)]))")
_IN_URL = re.compile(r"[<>\s\\]")
_ALIGN = {Align.LEFT: ":--", Align.RIGHT: "--:", Align.CENTRE: ":-:"}


def render_markdown(document: Document, name: str = "report") -> dict[str, bytes]:
    """`NAME.md` and the figures under `NAME-figures/`. ValueError where two entries have one id."""
    page = _Page(anchors(document), name, document.language)
    lines = [f"# {_escape(document.title)}"]
    if document.subtitle:
        lines += [f"_{_escape(document.subtitle)}_"]
    if document.notice:
        lines += [f"**{_escape(document.notice)}**"]
    lines += [_escape(line) for line in document.meta]
    lines += [page.line(document.lead)]
    lines += [page.key_figures(document.key_figures)]
    lines += [
        "\n".join(f"- [{_escape(s.title)}](#{page.names[s.id]})" for s in document.sections)
        if len(document.sections) > 3
        else ""
    ]
    for section in document.sections:
        note = f"\n\n_{_escape(section.note)}_" if section.note else ""
        lines += [f"## {page.anchor(section.id)}{_escape(section.title)}{note}"]
        lines += [page.block(block) for block in section.blocks]
    text = "\n\n".join(line for line in lines if line) + "\n"
    return {f"{name}.md": text.encode("utf-8"), **page.files}


class _Page:
    """What the blocks share: the anchors, and the figures found on the way."""

    def __init__(self, names: dict[str, str], name: str, language: str) -> None:
        self.names = names
        self.words = frame(language)
        self.name = name
        self.files: dict[str, bytes] = {}

    def block(self, block: Block) -> str:
        match block:
            case Paragraph():
                return self.line(block.spans)
            case Items():
                return "\n".join(f"{'1.' if block.ordered else '-'} {self.line(item)}" for item in block.items)
            case Caution():
                lines = (f"> - {self.line(item)}" for item in block.items)
                return "\n".join((f"> **{_escape(block.title)}**", ">", *lines))
            case RouteTable():
                return self.route_table(block)
            case Table():
                return self.table(block)
            case FindingList():
                return self.findings(block)
            case Figure():
                return self.figure(block)
            case FigureRow():
                return "\n\n".join(self.figure(figure) for figure in block.figures)
            case KeyFigures():
                return self.key_figures(block.figures)
            case _:
                return self.entries(block)

    def entries(self, block: Timeline | FactList | EvidenceList | Bibliography) -> str:
        w = self.words
        match block:
            case Timeline():
                events = [[_cell(e.time), self.spans(e.what), self.spans(e.detail)] for e in block.events]
                return _grid(["when", "what", "detail"], events)
            case FactList():
                told = any(e.how for e in block.entries)
                facts = [
                    [self.anchor(e.id) + _cell(e.name), self.spans(e.value), *([_cell(e.how)] if told else []),
                     self.spans(e.basis)]
                    for e in block.entries
                ]  # fmt: skip
                return _grid([w["fact"], w["value"], *([w["known_by"]] if told else []), w["rests_on"]], facts)
            case EvidenceList():
                files = [[_cell(e.file), self.places(e), _cell(e.sha256)] for e in block.files]
                return _grid([w["file"], w["places"], w["sha"]], files)
            case Bibliography():
                return "\n".join(f"1. {self.source(source)}" for source in block.entries)

    def places(self, file: EvidenceFile) -> str:
        return "; ".join(self.anchor(one.id) + _cell(one.place or self.words["whole_file"]) for one in file.places)

    def source(self, source: Source) -> str:
        title = self.spans((Span(source.title, url=source.url or None),))
        return f"{self.anchor(source.id)}{title} {_cell(source.detail)}".rstrip()

    def line(self, spans: Spans) -> str:
        """Spans that open a line: what would make a list or a heading there is escaped too."""
        return _LINE_START.sub(_escape_start, self.spans(spans))

    def anchor(self, identity: str) -> str:
        return f'<a id="{self.names[identity]}"></a>'

    def spans(self, spans: Spans) -> str:
        return "".join(
            self.linked(first, "".join(_strong(span) if span.kind == "strong" else _cell(span.text) for span in run))
            for first, run in by_link(spans)
        )

    def linked(self, span: Span, words: str) -> str:
        if span.ref in self.names and words.strip():
            return f"[{words}](#{self.names[span.ref]})"
        if span.url and span.url.startswith(("https://", "http://")):
            return f"[{words}](<{_IN_URL.sub(_percent, span.url)}>)"
        return words

    def amount(self, amount: Amount) -> str:
        whole = "".join(span.text for span in amount_spans(amount) if span.kind != "muted")
        suffix = f" {_cell(amount.suffix)}" if amount.suffix else ""
        return self.spans((Span(whole, amount.ref),)) + suffix

    def key_figures(self, figures: tuple[KeyFigure, ...]) -> str:
        return "\n".join(f"- **{self.amount(f.amount)}** {_cell(f.caption)}" for f in figures)

    def route_table(self, table: RouteTable) -> str:
        rows = []
        for row in table.rows:
            condition = f" {_cell(row.condition)}" if row.condition else ""
            name = self.spans((Span(row.name, row.ref),)) + condition
            rows.append([name, *(self.said(cell) for cell in row.cells), _status(row.standing)])
        return _captioned(
            table.caption, _grid([self.words["fact"], *map(_cell, table.columns), self.words["standing"]], rows)
        )

    def said(self, cells: tuple[RouteCell, ...]) -> str:
        return "<br>".join(f"**▼ {self.amount(c.amount)}**" if c.odd else self.amount(c.amount) for c in cells)

    def table(self, table: Table) -> str:
        rows = []
        for group in table.groups:
            if group.title:
                rows.append([f"**{_cell(group.title)}**", *[""] * (len(table.columns) - 1)])
            for row in group.rows:
                cells = [self.table_cell(cell) for cell in row.cells]
                rows.append([(self.anchor(row.id) if row.id is not None else "") + cells[0], *cells[1:]])
        aligns = [column.align for column in table.columns]
        return _captioned(table.caption, _grid([_cell(column.head) for column in table.columns], rows, aligns))

    def table_cell(self, cell: TableCell) -> str:
        return " ".join(filter(None, (_status(cell.status) if cell.status else "", self.spans(cell.spans))))

    def findings(self, block: FindingList) -> str:
        lines = []
        for item in block.items:
            grounds = [self.spans(item.source), self.spans(item.evidence), _cell(item.margin)]
            if item.next_step:
                grounds.append(f"{self.words['next_step']} {_cell(item.next_step)}")
            small = "; ".join(ground for ground in grounds if ground)
            lines.append(f"- {self.anchor(item.id)}{_status(item.verdict)}: {self.spans(item.sentence)}  \n  {small}")
        return "\n".join(lines)

    def figure(self, figure: Figure) -> str:
        content = figure.content
        svg = concrete(content.svg) if isinstance(content, Drawing) else annotated_photo(content)
        path = f"{self.name}-figures/{self.names[figure.id]}.svg"
        self.files[path] = _on_paper(svg).encode("utf-8")
        pins = content.callouts if isinstance(content, Photo) else ()
        legend = [f"**{_cell(pin.number)}** {self.spans((Span(pin.label, pin.ref),))}" for pin in pins]
        title = f"### {self.anchor(figure.id)}{_escape(figure.title)}" if figure.title else self.anchor(figure.id)
        picture = f"![{_cell(figure.alt)}](<{path}>)"
        return "\n\n".join(filter(None, (title, picture, self.spans(figure.caption), " · ".join(legend))))


def _escape(text: str) -> str:
    """A line of its own on which nothing is markup."""
    return _LINE_START.sub(_escape_start, _cell(text).strip())


def _cell(text: str) -> str:
    """Text inside a line, on which nothing is markup; blanks at its ends stand between spans and stay."""
    return _MARKUP.sub(r"\\\g<0>", re.sub(r"[ \t\r\n]+", " ", printable(text)))


def _strong(span: Span) -> str:
    words = _cell(span.text)
    return f"**{words}**" if words.strip() == words != "" else words


def _escape_start(match: re.Match[str]) -> str:
    blank, sign, count, stop = match.groups()
    return f"{blank}\\{sign}" if sign else f"{blank}{count}\\{stop}"


def _status(status: Status) -> str:
    return f"{GLYPHS[shape_of(status)]} {status.value}"


def _grid(heads: list[str], rows: list[list[str]], aligns: list[Align] | None = None) -> str:
    marks = [_ALIGN[align] for align in aligns or [Align.LEFT] * len(heads)]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in (heads, marks, *rows))


def _captioned(caption: str, table: str) -> str:
    return f"{_escape(caption)}\n\n{table}" if caption else table


def _percent(match: re.Match[str]) -> str:
    return "".join(f"%{byte:02X}" for byte in match.group().encode("utf-8"))


def _on_paper(svg: str) -> str:
    """With a ground of its own: the page around it may be dark."""
    return svg.replace(">", f'><rect width="100%" height="100%" fill="{LIGHT["paper"]}"/>', 1)
