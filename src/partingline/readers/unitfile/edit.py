"""Change one value of `unit.toml` and nothing else: comments, order and spacing stay as the person wrote them."""

import shutil
from itertools import pairwise
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.items import AoT

_MARK = "\ufeff"


def set_value(text: str, path: tuple[str | int, ...], value: Any) -> str:
    """The text with one key set; tables that are missing are added at the end.

    `path` names tables by key and array tables by index, as `("port", 0, "cable")`; an index one past the end adds a
    table. Raises KeyError where the path leads through what is no table, ValueError where the text is no TOML.
    """
    mark = _MARK if text.startswith(_MARK) else ""
    document = tomlkit.parse(text.removeprefix(_MARK))
    at: Any = document
    for here, following in pairwise(path):
        at = _step(at, here, following)
    last = path[-1]
    if isinstance(last, int) and not (isinstance(at, list) and last < len(at)):
        raise KeyError(f"{last}: no such place in a list")
    if isinstance(last, str) and not isinstance(at, dict):
        raise KeyError(f"{last}: not inside a table")
    at[last] = value
    return mark + tomlkit.dumps(document)


def write_value(file: Path, path: tuple[str | int, ...], value: Any) -> None:
    """Set one key in a file, replaced in one move so that a reader never sees half of it.

    Raises as `set_value` does, and ValueError for a file that is not in UTF-8; the file is then as it was.
    """
    file = file.resolve()
    changed = set_value(file.read_bytes().decode("utf-8"), path, value).encode("utf-8")
    beside = file.with_name(file.name + ".part")
    beside.write_bytes(changed)
    shutil.copymode(file, beside)
    beside.replace(file)


def _step(at: Any, here: str | int, following: str | int) -> Any:
    if isinstance(here, int):
        if not isinstance(at, AoT | list) or here > len(at):
            raise KeyError(f"{here}: no such place in an array of tables")
        if here == len(at):
            at.append(tomlkit.table())
        return at[here]
    if not isinstance(at, dict):
        raise KeyError(f"{here}: not inside a table")
    if here not in at:
        at[here] = tomlkit.aot() if isinstance(following, int) else tomlkit.table()
    return at[here]
