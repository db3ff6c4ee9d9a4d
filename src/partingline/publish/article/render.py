"""An article as HTML with the profile's style and logo, and as Markdown with front matter for static site builders."""

import base64
import json

from partingline.publish.article.profile import Profile
from partingline.publish.document import Document
from partingline.publish.html import render_html
from partingline.publish.markdown import render_markdown

_MEDIA = {
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".webp": "image/webp",
    ".svg": "image/svg+xml",
}


def article_html(document: Document, profile: Profile) -> str:
    """One file: the page of the report with the profile's sheet behind its own, and the logo in the head."""
    page = render_html(document)
    if profile.css:
        page = page.replace("</style>", profile.css.replace("</", "<\\/") + "\n</style>", 1)
    if profile.logo:
        media = _MEDIA.get("." + profile.logo_name.rpartition(".")[2].lower(), "image/png")
        data = base64.b64encode(profile.logo).decode("ascii")
        alt = _attribute(profile.name or "logo")
        logo = f'<img class="logo" src="data:{media};base64,{data}" alt="{alt}" style="max-height:3rem">'
        page = page.replace('<header id="top" class="head">', f'<header id="top" class="head">\n{logo}', 1)
    return page


def article_markdown(document: Document, profile: Profile, *, day: str) -> dict[str, bytes]:
    """`article.md` and its figures; the front matter is YAML, its texts written as JSON strings, which YAML reads."""
    files = render_markdown(document, "article")
    front = {
        "title": f"{document.title}: {document.subtitle}" if document.subtitle else document.title,
        "date": day,
        "lang": profile.language.id,
        "description": "".join(span.text for span in document.lead),
        "image": "card.png",
        "tags": list(profile.tags),
    }
    if profile.name:
        front["author"] = profile.name
    head = "".join(f"{key}: {json.dumps(value, ensure_ascii=False)}\n" for key, value in front.items())
    files["article.md"] = f"---\n{head}---\n\n".encode() + files["article.md"]
    return files


def _attribute(text: str) -> str:
    from html import escape

    return escape(text, quote=True)
