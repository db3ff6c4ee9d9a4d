"""The template files: a heading, shots, and sentences with slots; a line's `for WORD:` repeats it."""

import re
from dataclasses import dataclass
from pathlib import Path

_FOR = re.compile(r"^for (\w+):\s*(.*)$")
_ONLY = ("invented", "mains", "cells", "boards")
BUILT_IN = Path(__file__).parent / "templates"


@dataclass(frozen=True, slots=True)
class TemplateLine:
    """One line: what it is repeated for ('' for once), whether a shot, its text, and of which units only: `invented`,
    fed by `mains`, holding `cells`, built on `boards` ('' for all)."""

    each: str
    shot: bool
    only: str
    text: str


@dataclass(frozen=True, slots=True)
class Template:
    """One section."""

    title: str
    lines: tuple[TemplateLine, ...]


def read_templates(folder: Path | None = None, language: str = "en") -> tuple[Template, ...]:
    """The sections in the order of their file names. FileNotFoundError where there is no template, ValueError names the
    file and line that cannot be read."""
    folder = folder or BUILT_IN / language
    paths = sorted(folder.glob("*.md")) if folder.is_dir() else []
    if not paths:
        raise FileNotFoundError(f"{folder}: no script templates; expected files such as 01-outside.md")
    return tuple(_template(path) for path in paths)


def _template(path: Path) -> Template:
    title, lines = "", []
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        text = line.strip()
        if text.startswith("# "):
            title = text[2:].strip()
        elif text and not title:
            raise ValueError(f"{path}, line {number}: expected a heading first, as '# Outside'")
        elif text:
            if text.count("{") != text.count("}"):
                raise ValueError(f"{path}, line {number}: a slot is not closed; expected as '{{unit/mass}}'")
            lines.append(_line(text))
    return Template(title, tuple(lines))


def _line(text: str) -> TemplateLine:
    each = ""
    if match := _FOR.match(text):
        each, text = match[1], match[2]
    only = next((word for word in _ONLY if text.startswith(f"{word}:")), "")
    text = text.removeprefix(f"{only}:").strip() if only else text
    shot = text.startswith("shot:")
    return TemplateLine(each, shot, only, text.removeprefix("shot:").strip())
