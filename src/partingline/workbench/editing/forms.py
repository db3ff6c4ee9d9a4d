"""The kinds of file that can be edited a field at a time, and which file is of which kind."""

import re
from collections.abc import Iterator
from typing import Any, Protocol

from partingline.workbench.editing.outcome import RefusedError
from partingline.workbench.editing.versions import Path

WORDS = re.compile(r"words/[A-Za-z0-9][A-Za-z0-9._-]{0,80}\.(?:md|txt|vtt|srt)")
EDITABLE = ("unit.toml", "parts.csv", "logs/logs.toml", "photos/marks.json")


class Form(Protocol):
    """A kind of file. Texts are those of the whole file; a value of None stands for what is not there.

    `look` gives value and version of a field. `put` gives the new text, and the path by which the field is found
    from now on. Both raise RefusedError. `fields` walks through every field.
    """

    def look(self, text: str, path: Path) -> tuple[Any, str]:
        """Value and version of a field."""

    def put(self, text: str, path: Path, value: Any) -> tuple[str, Path]:
        """The text with the field changed, and the field's path in it."""

    def fields(self, text: str) -> Iterator[tuple[Path, Any, str]]:
        """Path, value and version of every field."""


def form_of(file: str) -> Form:
    """The form of a file of a unit folder; RefusedError for one that is not edited by fields."""
    from partingline.workbench.editing.marks_form import MarksForm
    from partingline.workbench.editing.parts_form import PartsForm
    from partingline.workbench.editing.text_form import TextForm
    from partingline.workbench.editing.toml_form import TomlForm

    if file in ("unit.toml", "logs/logs.toml"):
        return TomlForm(file)
    if file == "parts.csv":
        return PartsForm()
    if file == "photos/marks.json":
        return MarksForm()
    if WORDS.fullmatch(file):
        return TextForm()
    expected = f"one of {', '.join(EDITABLE)} or a text in words/"
    raise RefusedError(file[:120], "a file that is not edited here", expected, "Name another file.")
