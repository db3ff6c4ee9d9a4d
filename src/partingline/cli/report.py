"""`partingline report`: the report in every format asked for, with progress."""

from collections.abc import Callable
from pathlib import Path

from rich.console import Console

from partingline.cli.own_rules import all_rules
from partingline.cli.screen import console
from partingline.facts.opened import open_unit
from partingline.findings import Case
from partingline.findings import run as run_rules
from partingline.model import Verdict
from partingline.publish.document import Document

FORMATS = ("html", "pdf", "md")


def run(folder: Path, out: Path | None, formats: str, rules: Path | None = None) -> int:
    """Write the files and name them; 2 where the folder or a format is unknown."""
    chosen = [name.strip() for name in formats.split(",") if name.strip()]
    if unknown := [name for name in chosen if name not in FORMATS]:
        console(error=True).print(f"no format '{unknown[0]}'; expected any of {', '.join(FORMATS)}")
        return 2
    screen = console()
    try:
        with screen.status(f"reading {folder}"):
            chosen_rules = all_rules(rules)
            opened = open_unit(folder)
    except (NotADirectoryError, ValueError) as error:
        console(error=True).print(str(error))
        return 2
    with screen.status("judging"):
        findings = run_rules(Case(opened.unit, opened.book, captures=opened.captures), chosen_rules)
    from partingline.publish.compose import compose

    with screen.status("composing"):
        document = compose(opened, findings)
    target = out or folder / "report"
    target.mkdir(parents=True, exist_ok=True)
    for name in chosen:
        with screen.status(f"writing {name}"):
            _write(screen, document, name, target)
    short = sum(finding.verdict is Verdict.FALLS_SHORT for finding in findings)
    screen.print(f"{len(findings)} findings, {short} fall short, {len(opened.problems)} remarks on the files")
    return 0


def _write(screen: Console, document: Document, name: str, target: Path) -> None:
    writers: dict[str, Callable[[Document], dict[str, bytes]]] = {"html": _html, "pdf": _pdf, "md": _markdown}
    for file, data in writers[name](document).items():
        path = target / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    screen.print(f"wrote {target / f'report.{name}'}")


def _html(document: Document) -> dict[str, bytes]:
    from partingline.publish.html import render_html

    return {"report.html": render_html(document).encode("utf-8")}


def _pdf(document: Document) -> dict[str, bytes]:
    from partingline.publish.pdf import render_pdf

    return {"report.pdf": render_pdf(document)}


def _markdown(document: Document) -> dict[str, bytes]:
    from partingline.publish.markdown import render_markdown

    return render_markdown(document, "report")
