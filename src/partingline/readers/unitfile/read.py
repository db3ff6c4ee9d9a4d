"""Read `unit.toml`: what is sound is kept, every fault is said with its line, and nothing is guessed."""

import copy
import tomllib
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError

from partingline.model import Evidence, KeyPath
from partingline.readers.folder import Folder, TextFile
from partingline.readers.unitfile.schema import UnitFile, known_keys
from partingline.readers.unitfile.toml_lines import dotted, line_index, line_of

NAME = "unit.toml"


@dataclass(frozen=True)
class ReadUnit:
    """`unit.toml` as read, and where each key stands."""

    data: UnitFile
    file: TextFile | None
    lines: dict[tuple[str | int, ...], int]

    def at(self, *path: str | int) -> Evidence:
        """A pointer to a key of the file."""
        place = KeyPath(dotted(path), line_of(self.lines, path))
        return self.file.at(place) if self.file else Evidence(NAME, "", place)


def read_unit_file(folder: Folder) -> ReadUnit:
    """`unit.toml` of a folder. Faulty keys are left out and reported; the rest is kept."""
    file = folder.text(NAME, "the unit's identity, label, ports and readings in TOML", needed=True)
    if file is None:
        return ReadUnit(UnitFile(), None, {})
    lines = line_index(file.text)
    data = _parsed(folder, file)
    return ReadUnit(_validated(folder, data, lines), file, lines)


def _parsed(folder: Folder, file: TextFile) -> dict[str, Any]:
    text = file.text
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line = _error_line(str(error), text)
        folder.report(
            NAME,
            str(error),
            "TOML: [tables], key = value, texts in quotes",
            "Mend that line; the tables above it were read, those below it were not.",
            KeyPath("TOML", line),
        )
        return _sound_head(text, line)


def _error_line(message: str, text: str) -> int:
    _, _, tail = message.partition("at line ")
    number = tail.split(",")[0].split()[0] if tail else ""
    return int(number) if number.isdigit() else len(text.splitlines())


def _sound_head(text: str, line: int) -> dict[str, Any]:
    """The tables above a broken line that parse by themselves."""
    head = text.splitlines()[: max(0, line - 1)]
    while head:
        try:
            return tomllib.loads("\n".join(head))
        except tomllib.TOMLDecodeError:
            head.pop()
    return {}


def _validated(folder: Folder, data: dict[str, Any], lines: dict[tuple[str | int, ...], int]) -> UnitFile:
    sound = copy.deepcopy(data)
    for _ in range(3):
        try:
            return UnitFile.model_validate(sound)
        except ValidationError as error:
            faults = error.errors()
        for fault in faults:
            path = tuple(piece for piece in fault["loc"])
            folder.report(NAME, *_words(fault, path), KeyPath(dotted(path), line_of(lines, path)))
            _remove(sound, path)
        _sweep(sound)
    return UnitFile()


def _words(fault: Any, path: tuple[str | int, ...]) -> tuple[str, str, str]:
    if fault["type"] == "extra_forbidden":
        keys = known_keys(path[:-1])
        near = get_close_matches(str(path[-1]), keys, n=1)
        hint = f"Did you mean '{near[0]}'?" if near else "Remove it, or put it into notes."
        return f"unknown key '{path[-1]}'", f"one of {', '.join(keys)}" if keys else "no key here", hint
    if fault["type"] == "missing":
        return (
            f"no '{path[-1]}'",
            f"'{path[-1]} = ...' in this table",
            "Add it; without it the table is left out.",
        )
    found = repr(fault["input"])
    return (
        f"{found[:80]}",
        fault["msg"].removeprefix("Input should be ").removeprefix("Value error, "),
        "Correct the value.",
    )


_GONE = object()


def _remove(data: Any, path: tuple[str | int, ...]) -> None:
    """Mark the faulty value as gone; where a list's table is faulty as a whole, the table."""
    at = data
    for piece in path[:-1]:
        at = at[piece] if isinstance(at, list) or piece in at else at
        if at is _GONE:
            return
    last = path[-1]
    if (isinstance(at, dict) and last in at) or (isinstance(at, list) and isinstance(last, int) and last < len(at)):
        at[last] = _GONE  # type: ignore[index]
    elif len(path) > 1:
        _remove(data, path[:-1])


def _sweep(data: Any) -> None:
    if isinstance(data, dict):
        for key in [key for key, value in data.items() if value is _GONE]:
            del data[key]
        for value in data.values():
            _sweep(value)
    elif isinstance(data, list):
        data[:] = [value for value in data if value is not _GONE]
        for value in data:
            _sweep(value)
