"""Jinja2 over the document: every text is escaped, every ref becomes a link to its anchor."""

import re
import unicodedata
from collections.abc import Callable
from functools import cache
from html import escape
from pathlib import Path
from typing import Any

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
from partingline.publish.figures.svg import number
from partingline.publish.fonts import face_rules
from partingline.publish.look import DARK, FIGURE_FACES, LIGHT, TEXT_FACES, shape_of, token_of
from partingline.publish.printable import printable
from partingline.publish.words.languages import frame

Target = Callable[[str], Markup | None]
"""The attributes of the link to a ref (`href="..."`), None where it leads nowhere; safe to stand in a tag."""

_HERE = Path(__file__).parent
_SHAPES = {
    "disc": '<circle cx="6" cy="6" r="5"/>',
    "triangle": '<path d="M.5 1.2h11L6 11.4z"/>',
    "half": '<circle cx="6" cy="6" r="4.5" class="hollow"/><path d="M6 1.5a4.5 4.5 0 0 0 0 9z"/>',
    "ring": '<circle cx="6" cy="6" r="4.5" class="hollow"/>',
}
_LEAST_PX, _MOST_REM = 0.74, 0.08
"""Widths of a drawing per unit of it: below, its words become too small, and it scrolls instead; above, too large."""


def render_html(document: Document) -> str:
    """The page. ValueError where two entries have one id."""
    names = anchors(document)
    page = (
        block_environment()
        .get_template("page.html.j2")
        .render(
            document=document,
            style=Markup(style_sheet()),
            anchor=lambda identity: names[identity],
            **block_functions(lambda ref: Markup(f'href="#{names[ref]}"') if ref in names else None, document.language),
        )
    )
    return page.replace("/*faces*/", face_rules(page), 1)


def block_functions(target: Target, language: str = "en") -> dict[str, Any]:
    """What the templates of the blocks use beside `anchor`; `target` says where a ref leads."""
    return {
        "words": frame(language),
        "full": FULL,
        "half": HALF,
        "spans": lambda spans: _spans(spans, target),
        "amount": lambda amount: _amount(amount, target),
        "link": lambda text, ref: _linked(Span("", ref), _text(text), target),
    }


@cache
def block_environment(*folders: Path) -> Environment:
    """The templates of the page and its blocks; those in `folders` are found before them."""
    environment = Environment(
        loader=FileSystemLoader([*folders, _HERE / "templates"]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["kind"] = lambda block: type(block).__name__
    environment.filters["status"] = _status
    environment.filters["picture"] = _picture
    environment.filters["text"] = _text
    return environment


def style_sheet() -> str:
    """The look as one sheet, without faces."""
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


def _spans(spans: Spans, target: Target) -> Markup:
    return Markup("").join(_linked(first, Markup("").join(map(_words, run)), target) for first, run in by_link(spans))


def _words(span: Span) -> Markup:
    text = _text(span.text)
    return text if span.kind == "plain" else Markup(f'<span class="{span.kind}">{text}</span>')


def _linked(span: Span, inner: Markup, target: Target) -> Markup:
    if span.ref is not None and (attributes := target(span.ref)) is not None:
        return Markup(f"<a {attributes}>{inner}</a>")
    if span.url and span.url.startswith(("https://", "http://")):
        return Markup(f'<a href="{escape(span.url)}" rel="external noreferrer">{inner}</a>')
    return inner


def _amount(amount: Amount, target: Target) -> Markup:
    """An amount as one link, which does not break inside."""
    inner = Markup("").join(_words(span) for span in amount_spans(amount) if span.kind != "muted")
    linked = _linked(Span("", amount.ref), inner, target)
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


def _picture(figure: Figure, width: float) -> Markup:
    content: Drawing | Photo = figure.content
    svg = _sized(content.svg) if isinstance(content, Drawing) else annotated_photo(content, width)
    return Markup(svg.replace("<svg ", f'<svg role="img" aria-label="{escape(printable(figure.alt))}" ', 1))


def _sized(svg: str) -> str:
    """The drawing no wider than its words can bear, beside what keeps it from getting so narrow that none reads them.

    Widths are attributes: a policy that forbids style in attributes lets them be.
    """
    found = re.search(r'(viewBox="0 0 ([\d.]+) [\d.]+") width="[\d.]+" height="[\d.]+"', svg)
    if found is None:
        return svg
    units = float(found[2])
    least = f'<svg class="least" width="{number(_LEAST_PX * units)}" height="0" aria-hidden="true"></svg>'
    return svg.replace(found[0], f'{found[1]} width="{number(_MOST_REM * units)}rem"', 1) + least
