"""Templates of the workbench over the blocks of the report; every text is escaped, every ref a link to its fact."""

import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlencode

from jinja2 import Environment
from markupsafe import Markup, escape

from partingline.model import Key
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import Section
from partingline.publish.html import block_environment, block_functions, style_sheet
from partingline.workbench.assets import asset

_HERE = Path(__file__).parents[1]
TEMPLATES = _HERE / "templates"


def rendered(template: str, **told: Any) -> str:
    """A page from its template. `unit_id` says whose facts the numbers lead to."""
    unit, ledger = told.get("unit_id", ""), told.get("ledger")
    functions = block_functions(lambda ref: link_of(unit, ref, ledger))
    own = {"anchor": anchor, "asset": asset}
    return environment().get_template(template).render(**functions, **own, **told)


@cache
def environment() -> Environment:
    """The templates, with those of the report behind them."""
    made = block_environment(TEMPLATES)
    made.filters["quote"] = lambda text: quote(str(text), safe="")
    made.filters["shape"] = lambda status: _worded(made, status, "")
    made.filters["worded"] = lambda status, word: _worded(made, status, word)
    made.filters["json"] = lambda value: json.dumps(value, ensure_ascii=False)
    return made


def _worded(made: Environment, status: Any, word: str) -> Markup:
    """The shape of a status with another word; without one, its own word is only for those who cannot see."""
    own = escape(status.value)
    said = f"</svg> {escape(word)}" if word else f'</svg><span class="unseen"> {own}</span>'
    return Markup(str(made.filters["status"](status)).replace(f"</svg> {own}", said))


def anchor(identity: str) -> str:
    """An id that an address can hold, the same for the same entry."""
    return quote(identity, safe="").replace("%", "_")


def link_of(unit: str, ref: str, ledger: Ledger | None) -> Markup | None:
    """Where a ref leads: a fact to its page, evidence to its place, what is on the page to its anchor."""
    if ledger is not None and ref.startswith("evidence-"):
        from partingline.workbench.api.evidence import evidence_record

        for evidence, id_ in ledger.evidence.items():
            if id_ == ref:
                return Markup(f'href="{escape(evidence_record(unit, evidence)["href"])}"')
        return None
    if ref.startswith("source-"):
        return None
    if ref in ("findings",) or ref.startswith("finding-"):
        return Markup(f'href="/unit/{quote(unit, safe="")}/findings"')
    if ref.startswith("row-"):
        return Markup(f'href="/unit/{quote(unit, safe="")}/parts#{anchor(ref)}"')
    return fact_link(unit, ref)


def fact_link(unit: str, ref: str) -> Markup | None:
    """The attributes of a number's link."""
    try:
        key = Key.parse(ref)
    except ValueError:
        return None
    asked = urlencode({"key": key.id})
    return Markup(f'href="/unit/{quote(unit, safe="")}/fact?{escape(asked)}" data-fact="{escape(key.id)}"')


def sheet() -> str:
    """The style of every page: that of the report, and what editing needs; faces by address."""
    from partingline.publish.fonts import FONTS

    listing = FONTS / "web.json"
    faces = json.loads(listing.read_text(encoding="utf-8")) if listing.is_file() else []
    rules = "\n".join(_face(face) for face in faces)
    own = (path.read_text(encoding="utf-8") for path in sorted((_HERE / "style").glob("*.css")))
    return "\n".join((rules, style_sheet(), *own))


def sections_of(*sections: Section | None) -> tuple[Section, ...]:
    """Those that there are."""
    return tuple(section for section in sections if section is not None)


def _face(face: Mapping[str, Any]) -> str:
    ranges = ",".join(f"U+{first:X}-{last:X}" for first, last in face["ranges"])
    return (
        f'@font-face{{font-family:"{face["family"]}";font-style:{face["style"]};font-weight:{face["weight"]};'
        f'font-display:swap;src:url({asset("/fonts/" + face["file"])}) format("woff2");unicode-range:{ranges}}}'
    )
