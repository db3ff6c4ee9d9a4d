"""Jinja2 over the document: every text is escaped, every ref becomes a link to its anchor."""

import re
import unicodedata
from functools import cache
from html import escape
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from partingline.publish.anchors import anchors, by_link
from partingline.publish.document import (
    Amount,
    Document,
    Drawing,
    Figure,
    Photo,
    Span,
    Spans,
    Status,
    amount_spans,
)
from partingline.publish.figures.photo import FULL, HALF, annotated_photo
from partingline.publish.fonts import face_rules
from partingline.publish.look import DARK, FIGURE_FACES, LIGHT, TEXT_FACES, shape_of, token_of
from partingline.publish.printable import printable

_HERE = Path(__file__).parent
_SHAPES = {
    "disc": '<circle cx="6" cy="6" r="5"/>',
    "triangle": '<path d="M.5 1.2h11L6 11.4z"/>',
    "half": '<circle cx="6" cy="6" r="4.5" class="hollow"/><path d="M6 1.5a4.5 4.5 0 0 0 0 9z"/>',
    "ring": '<circle cx="6" cy="6" r="4.5" class="hollow"/>',
}


def render_html(document: Document) -> str:
    """The page. ValueError where two entries have one id."""
    names = anchors(document)
    environment = _environment()
    page = environment.get_template("page.html.j2").render(
        document=document,
        full=FULL,
        half=HALF,
        style=Markup(_style()),
        anchor=lambda identity: names[identity],
        spans=lambda spans: _spans(spans, names),
        amount=lambda amount: _amount(amount, names),
        link=lambda text, ref: _linked(Span("", ref), _text(text), names),
    )
    return page.replace("/*faces*/", face_rules(page), 1)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(_HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["kind"] = lambda block: type(block).__name__
    environment.filters["status"] = _status
    environment.filters["picture"] = _picture
    environment.filters["text"] = _text
    environment.filters["width"] = _width
    return environment


def _style() -> str:
    sheets = "\n".join(
        (_HERE / "style" / name).read_text(encoding="utf-8") for name in ("page.css", "blocks.css", "media.css")
    )
    faces = f"--text:{_stack(TEXT_FACES)},Georgia,serif;--figures:{_stack(FIGURE_FACES)},system-ui,sans-serif;"
    sheets = sheets.replace("/*light*/", _variables(LIGHT) + faces).replace("/*dark*/", _variables(DARK))
    return re.sub(r"\s*\n\s*", "\n", sheets)


def _variables(tokens: dict[str, str]) -> str:
    return "".join(f"--{name}:{colour};" for name, colour in tokens.items())


def _stack(faces: tuple[str, ...]) -> str:
    return ",".join(f'"{face}"' for face in faces)


def _spans(spans: Spans, names: dict[str, str]) -> Markup:
    return Markup("").join(_linked(first, Markup("").join(map(_words, run)), names) for first, run in by_link(spans))


def _words(span: Span) -> Markup:
    text = _text(span.text)
    return text if span.kind == "plain" else Markup(f'<span class="{span.kind}">{text}</span>')


def _linked(span: Span, inner: Markup, names: dict[str, str]) -> Markup:
    if span.ref in names:
        return Markup(f'<a href="#{names[span.ref]}">{inner}</a>')
    if span.url and span.url.startswith(("https://", "http://")):
        return Markup(f'<a href="{escape(span.url)}" rel="external noreferrer">{inner}</a>')
    return inner


def _amount(amount: Amount, names: dict[str, str]) -> Markup:
    """An amount as one link, which does not break inside."""
    inner = Markup("").join(_words(span) for span in amount_spans(amount) if span.kind != "muted")
    linked = _linked(Span("", amount.ref), inner, names)
    suffix = Markup(f' <span class="muted">{_text(amount.suffix)}</span>') if amount.suffix else Markup("")
    return Markup(f'<span class="amount">{linked}</span>{suffix}')


def _text(text: str) -> Markup:
    """Escaped text; with right-to-left letters it is set apart, so that it reorders nothing around it."""
    shown = Markup(escape(printable(text)))
    if any(unicodedata.bidirectional(character) in ("R", "AL") for character in text):
        return Markup(f"<bdi>{shown}</bdi>")
    return shown


def _status(status: Status) -> Markup:
    shape = _SHAPES[shape_of(status)]
    return Markup(
        f'<span class="status {token_of(status)}"><svg viewBox="0 0 12 12" aria-hidden="true">{shape}</svg>'
        f" {escape(status.value)}</span>"
    )


def _width(figure: Figure) -> Markup:
    """The units across a drawing: below some share of them its words become too small, and it scrolls instead."""
    found = isinstance(figure.content, Drawing) and re.search(r'viewBox="0 0 ([\d.]+)', figure.content.svg)
    return Markup(found[1]) if found else Markup("0")


def _picture(figure: Figure, width: float) -> Markup:
    content: Drawing | Photo = figure.content
    svg = content.svg if isinstance(content, Drawing) else annotated_photo(content, width)
    return Markup(svg.replace("<svg ", f'<svg role="img" aria-label="{escape(printable(figure.alt))}" ', 1))
