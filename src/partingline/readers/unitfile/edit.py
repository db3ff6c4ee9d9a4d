"""Change one value of `unit.toml` and nothing else: comments, order and spacing stay as the person wrote them."""

import os
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.items import AoT


def set_value(text: str, path: tuple[str | int, ...], value: Any) -> str:
    """The text with one key set; tables that are missing are added at the end.

    `path` names tables by key and array tables by index, as `("port", 0, "cable")`; an index one past the end adds a
    table. Raises KeyError where the path leads through something that is no table.
    """
    document = tomlkit.parse(text)
    at: Any = document
    for here, following in zip(path, path[1:], strict=False):
        at = _step(at, here, following)
    at[path[-1]] = value
    return tomlkit.dumps(document)


def write_value(file: Path, path: tuple[str | int, ...], value: Any) -> None:
    """Set one key in a file, replaced in one move so that a reader never sees half of it."""
    text = file.read_bytes().decode("utf-8")
    beside = file.with_name(file.name + ".part")
    beside.write_bytes(set_value(text, path, value).encode("utf-8"))
    os.replace(beside, file)


def _step(at: Any, here: str | int, following: str | int) -> Any:
    if isinstance(here, int):
        if not isinstance(at, AoT | list):
            raise KeyError(f"{here}: no array of tables here")
        if here == len(at):
            at.append(tomlkit.table())
        return at[here]
    if here not in at:
        at[here] = tomlkit.aot() if isinstance(following, int) else tomlkit.table()
    inner = at[here]
    if not hasattr(inner, "__getitem__") or isinstance(inner, str):
        raise KeyError(f"{here}: holds a value, not a table")
    return inner
