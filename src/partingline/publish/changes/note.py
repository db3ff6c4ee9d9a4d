"""The correction note: dated, in Markdown, verdicts first."""

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
    if not change.before:
        return f"- {change.what}: {language('new')}: {change.now}"
    if not change.now:
        return f"- {change.what}: ~~{change.before}~~"
    return f"- {change.what}: ~~{change.before}~~ → {change.now}"
