"""`partingline publish`: article, captions, chapters, card, pictures and record of a unit, in a profile's look."""

from datetime import date
from pathlib import Path

from partingline.cli.screen import console
from partingline.facts.opened import open_unit
from partingline.findings import Case
from partingline.findings import run as run_rules

MOST = 12


def run(folder: Path, *, out: Path | None, profile: Path | None, language: str | None, day: str | None) -> int:
    """Write the files and name them; 2 where the unit, the profile or the day cannot be used."""
    from partingline.publish.article import read_profile
    from partingline.publish.article.package import publication
    from partingline.publish.fonts import missing

    screen = console()
    try:
        chosen = read_profile(profile, language)
        told = date.fromisoformat(day) if day else date.today()
        with screen.status(f"reading {folder}"):
            opened = open_unit(folder)
            findings = run_rules(Case(opened.unit, opened.book, captures=opened.captures))
        with screen.status("writing"):
            files = publication(opened, findings, chosen, day=told.isoformat())
    except (NotADirectoryError, ValueError) as error:
        console(error=True).print(str(error))
        return 2
    target = out or folder / "publication"
    for name, data in files.items():
        path = target / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    for name in sorted({name.partition("/")[0] for name in files}):
        screen.print(f"wrote {target / name}")
    if lacking := missing(files["article.md"].decode("utf-8")):
        some = lacking[:MOST] + ("…" if len(lacking) > MOST else "")
        console(error=True).print(
            f"No face has {some}: where they stand, the PDF, the card and the pictures may show boxes. "
            "Set up the faces with a network: python tools/build_assets.py"
        )
    return 0
