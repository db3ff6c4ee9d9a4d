"""The correction note: dated, in Markdown, verdicts first."""

from partingline.model import Verdict
from partingline.publish.changes.compare import Change, Changes
from partingline.publish.words.languages import Language

MOST = 40


def correction_note(found: Changes, *, day: str, language: Language, reason: str = "") -> str:
    """The note's text; with a reason it says why."""
    lines = [f"# {found.unit}: {language('correction', day=day)}", "", language("published", day=found.published)]
    if reason:
        lines += ["", reason]
    for title, told in (
        ("verdicts", found.verdicts), ("facts", found.facts), ("sentences", found.sentences),
        ("drawings", found.figures),
    ):  # fmt: skip
        if told:
            lines += ["", f"## {language(title)}", "", *(_line(change, language) for change in told[:MOST])]
            if len(told) > MOST:
                lines.append(f"- {language('more', count=len(told) - MOST)}")
    return "\n".join(lines) + "\n"


def _line(change: Change, language: Language) -> str:
    before, now = _worded(change.before, language), _worded(change.now, language)
    if not before:
        return f"- {change.what}: {language('new')}: {now}"
    if not now:
        return f"- {change.what}: ~~{before}~~"
    return f"- {change.what}: ~~{before}~~ → {now}"


def _worded(told: str, language: Language) -> str:
    """A verdict's word at the head of a change, and what becomes of a drawing, in the language."""
    head, colon, rest = told.partition(": ")
    words = {verdict.value: verdict.value.replace(" ", "_") for verdict in Verdict}
    words |= {"as published": "as_published", "drawn anew": "drawn_anew"}
    return language(words[head]) + colon + rest if head in words else told
