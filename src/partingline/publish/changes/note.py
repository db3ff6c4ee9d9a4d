"""The correction note: dated, in Markdown, verdicts first."""

from partingline.publish.changes.compare import Change, Changes
from partingline.publish.words.languages import Language

MOST = 40


def correction_note(found: Changes, *, day: str, language: Language, reason: str = "") -> str:
    """The note's text; with a reason it says why."""
    lines = [f"# {found.unit}: {language('correction', day=day)}", "", f"Published {found.published}."]
    if reason:
        lines += ["", reason]
    for title, told in (
        ("Verdicts", found.verdicts), ("Facts", found.facts), ("Sentences", found.sentences),
        ("Figures", found.figures),
    ):  # fmt: skip
        if told:
            lines += ["", f"## {title}", "", *(_line(change) for change in told[:MOST])]
            if len(told) > MOST:
                lines.append(f"- and {len(told) - MOST} more")
    return "\n".join(lines) + "\n"


def _line(change: Change) -> str:
    if not change.before:
        return f"- {change.what}: new: {change.now}"
    if not change.now:
        return f"- {change.what}: ~~{change.before}~~"
    return f"- {change.what}: ~~{change.before}~~ → {change.now}"
