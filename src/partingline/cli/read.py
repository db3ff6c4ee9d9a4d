"""`partingline read`: what is printed on the photos, proposed by an offline reader and accepted by a person."""

import sys
from pathlib import Path

from rich.console import Console
from rich.text import Text

from partingline.cli.screen import console, print_json
from partingline.facts.opened import Opened, open_unit
from partingline.readers.markings import decode_marking
from partingline.readers.photos.opening import PictureError
from partingline.readers.photos.reading import Proposal
from partingline.workbench.bench import Bench
from partingline.workbench.editing import ConflictError, RefusedError, Writer
from partingline.workbench.readings import LABEL, Place, accept, places, proposed, told


def run(folder: Path, subjects: list[str], *, every: bool, as_json: bool) -> int:
    """Propose and, at a terminal, ask; 0 where something was to read, 1 where nothing was, 2 where it failed."""
    err = console(error=True)
    try:
        opened = open_unit(folder)
        wanted = [one if one == LABEL or ":" in one else f"part:{one}" for one in subjects]
        chosen = [one for one in places(opened, wanted) if every or wanted or not one.now]
        if as_json:
            from partingline.publish.records import read_record

            print_json(read_record((told(place), lines) for place, lines in proposed(opened, chosen)))
            return 0 if chosen else 1
        if not chosen:
            err.print(_nothing(opened, subjects))
            return 1
        return _ask(opened, chosen)
    except (NotADirectoryError, PictureError) as error:
        err.print(str(error))
        return 2


def _ask(opened: Opened, chosen: list[Place]) -> int:
    """Show each proposal; where someone sits there, take what they say of it."""
    out, asking = console(), sys.stdin.isatty()
    writer = _writer(opened.folder.root) if asking else None
    if asking:
        out.print("Enter accepts a proposal, typed text replaces it, - leaves it.\n", style="bright_black")
    for place, lines in proposed(opened, chosen):
        text = "\n".join(line.text for line in lines)
        _show(out, place, lines)
        if writer is None:
            continue
        answer = input("  > ").strip()
        if answer != "-" and (answer or text):
            try:
                accept(writer, writer, place, answer or text, "at the terminal")
                out.print("  taken", style="green")
            except (RefusedError, ConflictError) as error:
                out.print(f"  {error}", style="red")
    if not asking:
        out.print("\nNothing was taken over: run this at a terminal, or accept in the workbench.", style="bright_black")
    return 0


def _show(out: Console, place: Place, lines: tuple[Proposal, ...]) -> None:
    where = place.photo if place.region is None else f"{place.photo}, {place.region}"
    out.print(Text.assemble((place.subject.removeprefix("part:"), "bold"), (f"  {where}", "bright_black")))
    if not lines:
        out.print("  nothing legible", style="bright_black")
    for line in lines:
        misread = f"  read as {line.read}" if line.read != line.text else ""
        out.print(Text.assemble(f"  {line.text}", (f"  {line.certainty:.0%}{misread}", "bright_black")))
    if place.subject != LABEL and lines:
        readings = decode_marking(" ".join(line.text for line in lines), place.kind)
        for reading in [one for one in readings if one.fits][:2]:
            out.print(f"    {reading.says} ({reading.scheme})", style="bright_black")
    if place.now:
        out.print(f"  typed: {place.now}", style="bright_black")


def _writer(root: Path) -> Writer:
    """The writer that the workbench has for this folder, so that the two never write at once."""
    unit = Bench(root.resolve().parent).unit(root.resolve().name)
    if unit is None:
        raise PictureError(str(root), "a unit's folder that can be written", "Look at the folder's name and place.")
    return unit.writer


def _nothing(opened: Opened, subjects: list[str]) -> str:
    if subjects:
        return f"{', '.join(subjects)}: not pinned on any photo; pin it in the workbench, or add it to {_marks(opened)}"
    return f"Everything pinned is typed already, or nothing is pinned in {_marks(opened)}. --every reads all again."


def _marks(opened: Opened) -> Path:
    return opened.folder.root / "photos" / "marks.json"
