"""Read `unit.toml`: what is sound is kept, every fault is said with its line, and nothing is guessed."""

import re
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError

from partingline.model import Evidence, KeyPath
from partingline.readers.folder import Folder, TextFile
from partingline.readers.unitfile.salvage import parse_around_faults
from partingline.readers.unitfile.schema import UnitFile, known_keys
from partingline.readers.unitfile.sieve import remove, shifted, sweep
from partingline.readers.unitfile.toml_lines import dotted, line_index, line_of

NAME = "unit.toml"
_MOST_ROUNDS = 50
_Lines = dict[tuple[str | int, ...], int]


@dataclass(frozen=True)
class ReadUnit:
    """`unit.toml` as read, and where each key stands."""

    data: UnitFile
    file: TextFile | None
    lines: _Lines

    def at(self, *path: str | int) -> Evidence:
        """A pointer to a key of the file."""
        place = KeyPath(dotted(path), line_of(self.lines, path))
        return self.file.at(place) if self.file else Evidence(NAME, "", place)

    def text_line(self, *path: str | int) -> int:
        """The line of the file on which the first line of a text stands; 0 where it is not known."""
        line = line_of(self.lines, path)
        if not line or self.file is None:
            return 0
        written = self.file.text.split("\n")[line - 1].rstrip()
        return line + 1 if re.search(r"""=\s*(\"{3}|'{3})$""", written) else line


def read_unit_file(folder: Folder) -> ReadUnit:
    """`unit.toml` of a folder. Faulty keys are left out and reported; the rest is kept."""
    file = folder.text(NAME, "the unit's identity, label, ports and readings in TOML", needed=True)
    if file is None:
        return ReadUnit(UnitFile(), None, {})
    data, sound, broken = parse_around_faults(file.text)
    for fault in broken:
        expected, step = (
            "TOML: [tables], key = value, texts in quotes",
            "Mend that place; the rest of the file is read.",
        )
        folder.report(NAME, fault.message, expected, step, KeyPath("TOML", fault.line))
    unit, lines = _validated(folder, data, line_index(sound))
    return ReadUnit(unit, file, lines)


def _validated(folder: Folder, data: dict[str, Any], lines: _Lines) -> tuple[UnitFile, _Lines]:
    """The sound part of the data. A table that loses a key that it must have is left out in the next round."""
    for _ in range(_MOST_ROUNDS):
        try:
            return UnitFile.model_validate(data), lines
        except ValidationError as error:
            faults = error.errors(include_url=False)
        for fault in faults:
            path = tuple(fault["loc"])
            folder.report(NAME, *_words(fault, path), KeyPath(dotted(path), line_of(lines, path)))
        for fault in faults:
            remove(data, tuple(fault["loc"]))
        lines = shifted(lines, sweep(data))
    return UnitFile(), lines


def _words(fault: Any, path: tuple[str | int, ...]) -> tuple[str, str, str]:
    """What was found, what was expected, and the next step."""
    if fault["type"] == "extra_forbidden":
        keys = known_keys(path[:-1])
        near = get_close_matches(str(path[-1]), keys, n=1)
        hint = f"Did you mean '{near[0]}'?" if near else "Remove it, or put it into notes."
        return f"unknown key '{path[-1]}'", f"one of {', '.join(keys)}" if keys else "no key here", hint
    if fault["type"] == "missing":
        return f"no '{path[-1]}'", f"'{path[-1]} = ...' in this table", "Add it; without it the table is left out."
    if fault["type"] == "string_pattern_mismatch":
        return repr(fault["input"]), "a name without / @ , = : +", "Shorten it to what is printed beside the port."
    expected = fault["msg"].removeprefix("Input should be ").removeprefix("Value error, ")
    near = get_close_matches(str(fault["input"]), re.findall(r"'([^']+)'", expected), n=1)
    return repr(fault["input"])[:80], expected, f"Did you mean '{near[0]}'?" if near else "Correct the value."
