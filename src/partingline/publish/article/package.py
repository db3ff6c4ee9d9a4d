"""Everything that is published of a unit, as files by name."""

import json
from collections.abc import Sequence

from partingline.facts.opened import Opened
from partingline.facts.spoken import Checked, check_words
from partingline.facts.spoken.statements import NAME
from partingline.model import Finding
from partingline.publish.article.compose import article
from partingline.publish.article.profile import Profile
from partingline.publish.article.render import article_html, article_markdown
from partingline.publish.changes import FROZEN, frozen_record
from partingline.publish.document import Document
from partingline.publish.pictures import picture_folder
from partingline.publish.record_ld import record_ld
from partingline.publish.script import chapter_list, draft
from partingline.publish.script.chapters import chapters_text
from partingline.publish.social import social_card
from partingline.publish.words import captions_text, corrected_script
from partingline.readers.words import read_script


def publication(opened: Opened, findings: Sequence[Finding], profile: Profile, *, day: str) -> dict[str, bytes]:
    """Article (HTML, Markdown, PDF), captions, chapters, description, card, pictures, record, frozen record."""
    from partingline.publish.pdf import render_pdf

    document = article(opened, findings, profile)
    checked = _captions(opened)
    script = draft(opened, findings, pace=profile.pace, tag=profile.language.id)
    chapters = chapters_text(chapter_list(script, checked))
    files = {
        "article.html": article_html(document, profile).encode("utf-8"),
        **article_markdown(document, profile, day=day),
        "chapters.txt": chapters.encode("utf-8"),
        "description.txt": _description(document, chapters, profile).encode("utf-8"),
        "card.png": social_card(document, name=profile.name),
        **{f"pictures/{name}": data for name, data in picture_folder(document).items()},
        "record.jsonld": _json(record_ld(opened, opened.book.facts(), findings, profile.language)),
        FROZEN: _json(frozen_record(opened, findings, day)),
        "article.pdf": render_pdf(document),
    }
    if checked is not None and checked.script.timed:
        note = profile.language("corrected", count=len(checked.slips)) if checked.slips else ""
        files["captions.vtt"] = captions_text(corrected_script(checked), note=note).encode("utf-8")
    return files


def _captions(opened: Opened) -> Checked | None:
    file = opened.folder.text(NAME, "captions") if opened.folder.has(NAME) else None  # told of when it was opened
    if file is None:
        return None
    return check_words(opened.unit, opened.book.facts(), read_script(file.text, NAME))


def _description(document: Document, chapters: str, profile: Profile) -> str:
    """The text below a video: what it is, the verdict, the first figures, the chapters."""
    figures = [f"{f.caption}: {f.amount.value} {f.amount.unit}".rstrip() for f in document.key_figures]
    lead = "".join(span.text for span in document.lead)
    head = f"{document.title}: {document.subtitle}" if document.subtitle else document.title
    parts = [head, lead, "\n".join(figures), profile.language("chapters") + "\n" + chapters.rstrip(), document.notice]
    return "\n\n".join(filter(None, parts)) + "\n"


def _json(record: object) -> bytes:
    return (json.dumps(record, ensure_ascii=False, indent=1) + "\n").encode("utf-8")
