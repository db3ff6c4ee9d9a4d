"""How an edit ends: done, refused with the reason, or in conflict with what is there by now."""

from dataclasses import dataclass
from typing import Any

from partingline.workbench.editing.versions import Path


@dataclass(frozen=True, slots=True)
class Done:
    """A field as it is now. `entry` is its number in the history; None where nothing changed."""

    file: str
    path: Path
    value: Any
    version: str
    entry: int | None


class RefusedError(ValueError):
    """An edit that cannot be made: where, what was found, what was expected, and the next step."""

    def __init__(self, place: str, found: str, expected: str, next_step: str) -> None:
        super().__init__(f"{place}: {found}; expected {expected}. {next_step}")
        self.place, self.found, self.expected, self.next_step = place, found, expected, next_step


class ConflictError(Exception):
    """The field has another version than its editor saw: both values, and whose the other one is."""

    def __init__(self, file: str, path: Path, yours: Any, theirs: Any, version: str, who: str, when: str) -> None:
        super().__init__(f"{file}: {list(path)} was changed meanwhile")
        self.file, self.path, self.yours, self.theirs = file, path, yours, theirs
        self.version, self.who, self.when = version, who, when
