"""typst over the document. Texts reach it as data (JSON strings), so that none can become markup."""

import json
import re
import unicodedata
from dataclasses import fields, is_dataclass
from enum import Enum
from pathlib import Path
from typing import Any

from partingline.model import Standing, Verdict
from partingline.publish.anchors import anchors, by_link
from partingline.publish.document import (
    Document,
    Drawing,
    FigureRow,
    Photo,
    RouteCell,
    RouteTable,
    Span,
    Spans,
    Table,
    TableCell,
)
from partingline.publish.figures.photo import FULL, HALF, annotated_photo
from partingline.publish.fonts import print_folder
from partingline.publish.look import FIGURE_FACES, LIGHT, TEXT_FACES, concrete, shape_of, token_of
from partingline.publish.printable import printable
from partingline.publish.words.languages import frame

_TEMPLATES = Path(__file__).parent / "templates"
_ON_PAPER = {**LIGHT, "paper": "#ffffff"}
_FALLBACK = ("Libertinus Serif", "DejaVu Sans")
_VIEW_BOX = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_LONG_WORD = re.compile(r"\S{18,}")
_UNBROKEN, _ROOM = 18, 1.3
"""The longest word that does not break, and what a word takes beside an average letter."""


def render_pdf(document: Document) -> bytes:
    """The file. ValueError where two entries have one id."""
    encoder = _Encoder(anchors(document))
    data = {
        "words": dict(frame(document.language)),
        "language": document.language.partition("-")[0],
        "document": encoder.encode(document),
        "colours": LIGHT,
        "text": [*TEXT_FACES, *_FALLBACK],
        "figures": [*FIGURE_FACES, *_FALLBACK],
    }
    files = {path.name: path.read_bytes() for path in sorted(_TEMPLATES.glob("*.typ"))}
    files |= encoder.pictures
    files["main"] = files.pop("report.typ")
    files["document.json"] = json.dumps(data, ensure_ascii=False).encode("utf-8")
    return _compile(files)


def _compile(files: dict[str, bytes]) -> bytes:
    """As PDF/UA-1; only tagged where a text holds a character that no face has (an emoji, say)."""
    import typst

    folder = print_folder()
    paths = [folder] if folder else []
    sources: Any = files  # a dictionary of files is taken, but not in typst's type hints
    try:
        return typst.compile(sources, font_paths=paths, format="pdf", timestamp=0, pdf_standards=["ua-1"])
    except typst.TypstError as error:
        if "could not be displayed with font" not in str(error):
            raise
    return typst.compile(sources, font_paths=paths, format="pdf", timestamp=0)


class _Encoder:
    """The document as lists, dictionaries and strings; pictures become files beside it."""

    def __init__(self, names: dict[str, str]) -> None:
        self.names = names
        self.pictures: dict[str, bytes] = {}

    def encode(self, node: Any, width: float = FULL) -> Any:
        """`width` are the units across for the pictures inside."""
        if isinstance(node, tuple) and node and all(isinstance(item, Span) for item in node):
            return [self._link(first, run) for first, run in by_link(node)]
        if isinstance(node, tuple):
            return [self.encode(item, width) for item in node]
        if isinstance(node, Drawing | Photo):
            return self._picture(node, width)
        if is_dataclass(node):
            return self._object(node, HALF if isinstance(node, FigureRow) and len(node.figures) > 1 else width)
        if isinstance(node, Verdict | Standing):
            return {"word": node.value, "shape": shape_of(node), "token": token_of(node)}
        if isinstance(node, Enum):
            return node.value
        return _breakable(printable(node)) if isinstance(node, str) else node

    def _object(self, node: Any, width: float) -> dict[str, Any]:
        plain: dict[str, Any] = {"is": type(node).__name__}
        for field in fields(node):
            value = getattr(node, field.name)
            if field.name in ("id", "ref"):
                plain[field.name] = self.names.get(value) if value is not None else None
            elif field.name == "url":
                plain[field.name] = printable(value) if _is_web(value) else None
            else:
                plain[field.name] = self.encode(value, width)
        if isinstance(node, RouteTable | Table):
            plain["weights"] = _weights(node)
        return plain

    def _link(self, first: Span, run: Spans) -> dict[str, Any]:
        words = [{"kind": span.kind.value, "text": self.encode(span.text)} for span in run]
        url = printable(first.url) if first.url and _is_web(first.url) else None
        return {"ref": self.names.get(first.ref or ""), "url": url, "words": words}

    def _picture(self, content: Drawing | Photo, width: float) -> dict[str, Any]:
        svg = concrete(content.svg, _ON_PAPER) if isinstance(content, Drawing) else annotated_photo(content, width)
        name = f"figure-{len(self.pictures) + 1}.svg"
        self.pictures[name] = svg.encode("utf-8")
        pins = content.callouts if isinstance(content, Photo) else ()
        return {"is": type(content).__name__, "file": name, **_size(svg), "callouts": self.encode(pins)}


def _size(svg: str) -> dict[str, float]:
    """Units across, and how many times wider than high."""
    found = _VIEW_BOX.search(svg)
    if found is None:
        raise ValueError("a drawing without a viewBox: its shape on the page is unknown; give the svg element one")
    return {"units": float(found[1]), "ratio": float(found[1]) / float(found[2])}


def _is_web(url: str | None) -> bool:
    return bool(url) and str(url).startswith(("https://", "http://"))


def _breakable(words: str) -> str:
    """Long words may break: a zero-width space after every twelfth letter."""
    return _LONG_WORD.sub(lambda match: re.sub(r"(.{12})", "\\1\u200b", match.group()), words)


def _weights(table: RouteTable | Table) -> list[int]:
    """How much of the width each column asks for: its longest cell where that is short, else more the more it holds."""
    if isinstance(table, RouteTable):
        rows = [[_asks(row.name, row.condition), *((_said(cell), 0) for cell in row.cells)] for row in table.rows]
        heads = [(6, 0), *map(_asks, table.columns)]
    else:
        rows = [[_cell(cell) for cell in row.cells] for group in table.groups for row in group.rows]
        heads = [_asks(column.head) for column in table.columns]
    return [_weight([(6, 0), head, *column]) for head, column in zip(heads, _columns(rows, len(heads)), strict=True)]


def _weight(asked: list[tuple[int, int]]) -> int:
    """Letters: up to 24 in one line, of what is longer a share of the average; never less than the longest word."""
    lengths = [length for length, _ in asked]
    mean = sum(lengths) // len(lengths)
    word = round(_ROOM * min(max(word for _, word in asked), _UNBROKEN)) + 3
    return max(word, min(max(lengths), 24 + min(max(mean - 24, 0) // 2, 36)))


def _asks(*texts: str) -> tuple[int, int]:
    """How many letters wide texts are, and their longest word; Chinese breaks anywhere."""
    words = [word for text in texts for word in text.split(" ")]
    return sum(map(_across, texts)), max((len(word) for word in words if _across(word) == len(word)), default=0)


def _across(text: str) -> int:
    """How many letters wide a text is; a Chinese character takes two."""
    return sum(2 if unicodedata.east_asian_width(character) in "WF" else 1 for character in text)


def _columns(rows: list[list[tuple[int, int]]], count: int) -> list[list[tuple[int, int]]]:
    return [[row[index] for row in rows if index < len(row)] for index in range(count)]


def _said(cells: tuple[RouteCell, ...]) -> int:
    amounts = [cell.amount for cell in cells]
    odd = 3 * any(cell.odd for cell in cells)
    return odd + max((len(a.value + a.u + a.unit + a.suffix) + 3 for a in amounts), default=0)


def _cell(cell: TableCell) -> tuple[int, int]:
    status = (len(cell.status.value) + 5,) if cell.status else ()
    length, word = _asks(*(span.text for span in cell.spans))
    return length + sum(status), max(word, *status, 0)
