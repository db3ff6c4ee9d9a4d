"""`partingline demo`: the main job on the invented unit, from its raw files to the report."""

import shutil
from importlib.resources import files
from pathlib import Path

from partingline.cli import check as check_command
from partingline.cli import report as report_command
from partingline.cli.screen import console

UNIT = "tern-65"


def run(folder: Path, *, report: bool) -> int:
    """Copy the unit, check it, write its report. 2 where the unit is not at hand or the place is taken by a file."""
    out = console()
    if folder.exists() and not folder.is_dir():
        console(error=True).print(f"{folder} is a file; expected a folder, or a name that is free.")
        return 2
    target = folder / UNIT
    source = _source()
    if not source.is_dir():
        console(error=True).print(f"the demonstration unit is not at {source}; install partingline anew.")
        return 2
    _copy(source, target)
    out.print(
        f"An invented unit is in {target}: label, parts, logs, photos and a recording of the wire, all made up.\n"
    )
    check_command.run(target, as_json=False, verbose=False, risk=0.05)
    if report:
        out.print()
        report_command.run(target, None, "html,pdf,md")
    out.print(f"\nLook at {target}, change something, and run: partingline check {target}")
    return 0


def _source() -> Path:
    packed = Path(str(files("partingline"))) / "demo_unit" / UNIT
    return packed if packed.is_dir() else Path(__file__).parents[3] / "demo" / UNIT


def _copy(source: Path, target: Path) -> None:
    """Copy what is not there yet: a file that someone changed stays as it is."""
    for path in sorted(source.rglob("*")):
        place = target / path.relative_to(source)
        if path.is_dir():
            place.mkdir(parents=True, exist_ok=True)
        elif not place.exists():
            place.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, place)
