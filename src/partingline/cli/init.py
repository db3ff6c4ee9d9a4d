"""`partingline init`."""

from pathlib import Path

from partingline.cli.screen import console
from partingline.readers.unitfile import write_skeleton


def run(folder: Path) -> int:
    """Write the skeleton and say what to do next."""
    out = console()
    if folder.exists() and not folder.is_dir():
        console(error=True).print(f"{folder} is a file; expected a folder, or a name that is free.")
        return 2
    try:
        written = write_skeleton(folder)
    except OSError as error:
        console(error=True).print(
            f"{error.filename or folder}: {error.strerror}; expected a place to write folders into."
        )
        return 2
    for path in written:
        out.print(f"wrote {path}")
    if not written:
        out.print(f"{folder} has every file already; nothing was touched.")
    out.print(f"\nNext: fill in {folder / 'unit.toml'} and {folder / 'parts.csv'}, copy photos, captures and logs in,")
    out.print(f"then run: partingline check {folder}")
    out.print("\nCaution: mains and charged capacitors can kill. Unplug, wait, measure, discharge, measure again.")
    return 0
