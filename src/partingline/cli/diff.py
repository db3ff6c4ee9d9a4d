"""`partingline diff`: what of a publication no longer holds, and the note that says so."""

import dataclasses
import json
import sys
from datetime import date
from pathlib import Path

from rich.padding import Padding
from rich.text import Text

from partingline.cli.screen import console
from partingline.facts.opened import open_unit
from partingline.findings import Case
from partingline.findings import run as run_rules

MOST = 20


def run(published: Path, folder: Path, *, note: Path | None, reason: str, language: str, as_json: bool) -> int:
    """0 where nothing changed, 1 where something did, 2 where one of the two cannot be read."""
    from partingline.publish.changes import Changes, changes, correction_note, frozen_record, read_frozen
    from partingline.publish.words.languages import language as language_of

    today = date.today().isoformat()
    try:
        frozen = read_frozen(published)
        tongue = language_of(language)
        opened = open_unit(folder)
    except (NotADirectoryError, FileNotFoundError, ValueError) as error:
        console(error=True).print(str(error))
        return 2
    findings = run_rules(Case(opened.unit, opened.book, captures=opened.captures))
    found: Changes = changes(frozen, frozen_record(opened, findings, today))
    if note is not None and found:
        note.write_text(correction_note(found, day=today, language=tongue, reason=reason), encoding="utf-8")
    if as_json:
        told = {"schema": "partingline.diff", "version": 1, **dataclasses.asdict(found)}
        json.dump(told, sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
        return 1 if found else 0
    out = console()
    if not found:
        out.print(f"{found.unit}: everything that was published on {found.published} still holds.")
        return 0
    for title in ("verdicts", "facts", "sentences", "figures"):
        told_changes = getattr(found, title)
        if told_changes:
            out.print()
            out.print(Text(f"{title} that change  {len(told_changes)}", style="bold"))
            for change in told_changes[:MOST]:
                out.print(
                    Padding(f"{change.what}: {change.before or '(new)'} → {change.now or '(gone)'}", (0, 0, 0, 2))
                )
            if len(told_changes) > MOST:
                out.print(Padding(f"and {len(told_changes) - MOST} more", (0, 0, 0, 2)), style="bright_black")
    if note is not None:
        out.print(f"\nwrote {note}")
    return 1
