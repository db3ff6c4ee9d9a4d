"""What a form needs to know of a field: its value and version, its label, and how it is typed."""

from dataclasses import dataclass
from typing import Any

from partingline.workbench.editing import Path
from partingline.workbench.editing.text_form import TextForm
from partingline.workbench.editing.toml_form import TomlForm
from partingline.workbench.live import LiveUnit

UNIT = "unit.toml"


@dataclass(frozen=True, slots=True)
class Field:
    """One control. `lines` is the height of a text; `choices` those of a list; `hint` how it is written."""

    file: str
    path: Path
    label: str
    value: str
    base: str
    lines: int = 1
    choices: tuple[str, ...] = ()
    hint: str = ""
    listed: bool = False

    @property
    def id(self) -> str:
        """An id for the label."""
        return "field-" + "-".join(str(piece) for piece in (self.file, *self.path)).replace(" ", "_")


def toml_field(unit: LiveUnit, path: Path, label: str, *, file: str = UNIT, **how: Any) -> Field:
    """A field of a TOML file. A list is typed one item a line."""
    value, version = TomlForm(file).look(unit.writer.read(file), path)
    listed = bool(how.get("listed")) or isinstance(value, list)
    text = "\n".join(map(str, value)) if isinstance(value, list) else "" if value is None else str(value)
    return Field(file, path, label, text, version, **{**how, "listed": listed})


def text_field(unit: LiveUnit, file: str, label: str, **how: Any) -> Field:
    """A whole text."""
    value, version = TextForm().look(unit.writer.read(file), ())
    return Field(file, (), label, value or "", version, **how)


def typed(text: str, listed: bool, whole: bool) -> Any:
    """What a control's text means: a list, a text as it is, or nothing where it was emptied."""
    if listed:
        items = [line.strip() for line in text.split("\n") if line.strip()]
        return items or None
    if whole:
        return text or None
    return text.strip() or None if "\n" not in text else text
