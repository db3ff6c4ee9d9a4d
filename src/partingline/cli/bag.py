"""`partingline bag`: freeze a publication with all its evidence, or look whether a bag is still what it was."""

from datetime import date
from pathlib import Path

from partingline.cli.screen import console
from partingline.facts.opened import open_unit
from partingline.findings import Case
from partingline.findings import run as run_rules
from partingline.readers.photos.metadata import private_photos


def run(folder: Path, out: Path | None, *, profile: Path | None, language: str | None, verify: bool) -> int:
    """0 where the bag was written or is whole; 1 where it is not; 2 where it cannot be written."""
    if verify:
        return _verify(folder)
    from partingline.publish.article import read_profile
    from partingline.publish.article.package import publication
    from partingline.publish.bag import write_bag

    today = date.today()
    screen = console()
    try:
        chosen = read_profile(profile, language)
        opened = open_unit(folder)
        findings = run_rules(Case(opened.unit, opened.book, captures=opened.captures))
        target = out or folder.resolve().parent / f"{folder.resolve().name}-{today.isoformat()}"
        with screen.status("sealing"):
            files = publication(opened, findings, chosen, day=today.isoformat())
            write_bag(folder, files, target, title=f"{opened.unit.name}: publication and evidence", day=today)
    except (NotADirectoryError, FileExistsError, ValueError) as error:
        console(error=True).print(str(error))
        return 2
    screen.print(f"wrote {target}\n\nLater: partingline bag --verify {target}")
    for name, told in private_photos(target / "data/unit").items():
        screen.print(f"{name}: the original in data/unit holds {', '.join(told)}; hand on data/publication instead")
    return 0


def _verify(bag: Path) -> int:
    from partingline.publish.bag import verify_bag

    if not bag.is_dir():
        console(error=True).print(f"{bag}: no such folder; expected a bag")
        return 2
    problems = verify_bag(bag)
    for problem in problems:
        console().print(problem)
    console().print(f"{bag}: {'complete and valid' if not problems else f'{len(problems)} deviations'}")
    return 1 if problems else 0
