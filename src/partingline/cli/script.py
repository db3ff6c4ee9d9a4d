"""`partingline script`: the shot list and narration draft as Markdown."""

import sys
from pathlib import Path

from partingline.cli.screen import console
from partingline.facts.opened import open_unit
from partingline.findings import Case
from partingline.findings import run as run_rules


def run(
    folder: Path, *, out: Path | None, pace: float, target_min: float | None, templates: Path | None, language: str
) -> int:
    """Print the script, or write it; 2 where the unit or a template cannot be read."""
    from partingline.publish.script import draft, script_markdown

    try:
        opened = open_unit(folder)
        findings = run_rules(Case(opened.unit, opened.book, captures=opened.captures))
        target = target_min * 60 if target_min else None
        text = script_markdown(draft(opened, findings, pace=pace, target_s=target, templates=templates, tag=language))
    except (NotADirectoryError, FileNotFoundError, ValueError) as error:
        console(error=True).print(str(error))
        return 2
    if out is None:
        sys.stdout.write(text)
    else:
        out.write_text(text, encoding="utf-8")
        console().print(f"wrote {out}")
    return 0
