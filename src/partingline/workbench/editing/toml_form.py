"""Fields of `unit.toml` and `logs.toml`: a key of a table, a list as a whole, or a row of an array of tables.

Comments, order and spacing stay as the person wrote them.
"""

import json
import re
import tomllib
from collections.abc import Iterator
from copy import deepcopy
from datetime import date
from functools import lru_cache
from itertools import pairwise
from typing import Any

from partingline.readers.unitfile.toml_lines import line_index
from partingline.workbench.editing.outcome import RefusedError
from partingline.workbench.editing.versions import Path, plain, version_of

_IDENTITY = {"port": ("id",), "reading": ("subject", "quantity", "at"), "log": ("file",)}
"""What tells the rows of an array of tables apart."""
_MARK = "\ufeff"
_ONE_STRING = re.compile(r"""([^="'#\[{]*=\s*)"(?:[^"\\\r\n]|\\.)*"([ \t]*(?:#[^\r\n]*)?\r?)""")
"""A line with one key and one basic string; what stands before and behind the string."""


class TomlForm:
    """One TOML file. `("reading", 3, "value")` is a field of a row, `("reading", "+")` a place for a new row."""

    def __init__(self, file: str) -> None:
        self.file = file

    def look(self, text: str, path: Path) -> tuple[Any, str]:
        """Value and version; a place that is not there has None, and in a row the version of its absence."""
        _sensible(path, self.file)
        return self._seen(self._data(text), path)

    def _seen(self, data: dict[str, Any], path: Path) -> tuple[Any, str]:
        if path[-1] == "+":
            return None, version_of(None)
        value = plain(_at(data, path))
        row = _row(data, path)
        if row is None:
            return value, version_of(value)
        return value, version_of(value, *row) if value is not None else _absent(row)

    def put(self, text: str, path: Path, value: Any) -> tuple[str, Path]:
        """The text with one key or row set, added or taken away; nothing else in it is another than before."""
        _sensible(path, self.file)
        before = self._data(text)
        rows = _at(before, path[:-1]) if path[-1] == "+" else None
        target: Path = (*path[:-1], len(rows or ())) if path[-1] == "+" else path
        value = _dated(_at(before, target), value)
        expected = _changed(before, target, value, self.file)
        changed = _spliced(text, target, value)
        if changed is None or _read(changed) != expected:
            changed = _written(text, target, value, self.file)
        if self._data(changed) != expected:
            place, found = self._place(path), "a place that cannot be set without touching others"
            raise RefusedError(place, found, "a key with its own line", "Edit the file by hand there.")
        return changed, target

    def fields(self, text: str) -> Iterator[tuple[Path, Any, str]]:
        """Every key; of rows each key as well."""
        data = self._data(text)
        for path in _leaves(data, ()):
            yield (path, *self._seen(data, path))

    def rows(self, text: str) -> Iterator[tuple[Path, str, str]]:
        """Path and version of each row, and the version of a key that is absent in it."""
        data = self._data(text)
        for name, rows in data.items():
            if isinstance(rows, list) and all(isinstance(row, dict) for row in rows):
                for number, row in enumerate(rows):
                    path = (name, number)
                    yield (
                        path,
                        version_of(plain(row), *(_row(data, path) or ())),
                        _absent(_row(data, path) or ("no row",)),
                    )

    def _data(self, text: str) -> dict[str, Any]:
        try:
            return _parsed(text)
        except (ValueError, RecursionError) as error:
            step = "Mend that place in the file by hand; until then its fields cannot be edited here."
            raise RefusedError(self.file, str(error)[:200], "TOML", step) from error

    def _place(self, path: Path) -> str:
        return f"{self.file}, {'.'.join(map(str, path))}"


@lru_cache(maxsize=32)
def _parsed(text: str) -> dict[str, Any]:
    """The tables of a text; nobody changes them, since a page looks at the same text field by field."""
    return tomllib.loads(text.removeprefix(_MARK).replace("\r\n", "\n"))


def _read(text: str) -> dict[str, Any] | None:
    try:
        return _parsed(text)
    except (ValueError, RecursionError):
        return None


def _sensible(path: Path, file: str) -> None:
    numbers = all(isinstance(piece, str) or 0 <= piece < 100_000 for piece in path)
    texts = all(isinstance(piece, int) or len(piece) <= 200 for piece in path)
    if not path or len(path) > 6 or isinstance(path[0], int) or not numbers or not texts:
        expected = "table, key (or table, row, key)"
        raise RefusedError(file, f"the path {list(path)!r:.120}", expected, "Name a field of the file.")


def _absent(row: tuple[Any, ...]) -> str:
    """The version of every key that a row does not have."""
    return version_of(None, row[0])


def _row(data: dict[str, Any], path: Path) -> tuple[Any, ...] | None:
    """What tells the row that a path leads into; None outside rows."""
    if len(path) < 2 or not isinstance(path[1], int):
        return None
    row = _at(data, path[:2])
    if not isinstance(row, dict):
        return ("no row",)
    keys = _IDENTITY.get(str(path[0]), ())
    return ([plain(row.get(key)) for key in keys], list(path[2:]))


def _at(data: Any, path: Path) -> Any:
    for piece in path:
        if isinstance(data, dict):
            data = data.get(piece)
        elif isinstance(data, list) and isinstance(piece, int) and piece < len(data):
            data = data[piece]
        else:
            return None
    return data


def _leaves(data: dict[str, Any], path: Path) -> Iterator[Path]:
    for key, value in data.items():
        here = (*path, key)
        if isinstance(value, dict):
            yield from _leaves(value, here)
        elif isinstance(value, list) and value and all(isinstance(row, dict) for row in value):
            for number, row in enumerate(value):
                yield from _leaves(row, (*here, number))
        else:
            yield here


def _dated(before: Any, value: Any) -> Any:
    """A date stays a date where the text is one."""
    if type(before) is date and isinstance(value, str):
        try:
            return date.fromisoformat(value)
        except ValueError:
            return value
    return value


def _changed(before: dict[str, Any], path: Path, value: Any, file: str) -> dict[str, Any]:
    data = deepcopy(before)
    at: Any = data
    for here, following in pairwise(path):
        at = _inside(at, here, [] if isinstance(following, int) else {}, file)
    last = path[-1]
    if isinstance(last, int):
        if not isinstance(at, list) or last > len(at) or (value is None and last == len(at)):
            raise RefusedError(file, f"no row {last}", "a row that is there", "Look again at what the file holds.")
        at[last : last + 1] = [] if value is None else [value]
    elif isinstance(at, dict) and value is None:
        at.pop(last, None)
    elif isinstance(at, dict):
        at[last] = value
    else:
        raise RefusedError(file, f"{last} inside what is no table", "a table", "Name a field of the file.")
    return {key: one for key, one in data.items() if one != [] or before.get(key) == []}


def _inside(at: Any, here: str | int, new: Any, file: str) -> Any:
    if isinstance(at, dict) and isinstance(here, str):
        return at.setdefault(here, new)
    if isinstance(at, list) and isinstance(here, int) and here < len(at):
        return at[here]
    raise RefusedError(file, f"{here} inside what is no table or row", "a table", "Name a field of the file.")


def _spliced(text: str, path: Path, value: Any) -> str | None:
    """The text with a string on its own line set in place, which takes a tenth of the time; None where it is not so.

    Whoever calls it looks whether the result is what was meant.
    """
    line = line_index(text.removeprefix(_MARK)).get(path)
    if line is None or not isinstance(value, str) or "\n" in value or "\r" in value:
        return None
    lines = text.split("\n")
    found = _ONE_STRING.fullmatch(lines[line - 1]) if line <= len(lines) else None
    if found is None:
        return None
    written = json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")  # TOML 1.0.0 forbids that one as well
    lines[line - 1] = f"{found[1]}{written}{found[2]}"
    return "\n".join(lines)


def _written(text: str, path: Path, value: Any, file: str) -> str:
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    mark = _MARK if text.startswith(_MARK) else ""
    try:
        document = tomlkit.parse(text.removeprefix(_MARK))
        _set(document, path, value)
        return mark + tomlkit.dumps(document)
    except (TOMLKitError, KeyError, TypeError, ValueError, IndexError) as error:
        found = f"cannot be set ({type(error).__name__})"
        raise RefusedError(f"{file}, {path}", found, "a value of TOML", "Edit the file by hand there.") from error


def _set(document: Any, path: Path, value: Any) -> None:
    import tomlkit

    at: Any = document
    if value is None and isinstance(path[-1], int) and len(path) == 2 and len(document[path[0]]) == 1:
        del document[path[0]]
        return
    for here, following in pairwise(path):
        if isinstance(here, str) and here not in at:
            at[here] = tomlkit.aot() if isinstance(following, int) else tomlkit.table()
        at = at[here]
    last = path[-1]
    if value is None:
        if isinstance(last, int) or last in at:
            del at[last]
    elif isinstance(last, int):
        row = tomlkit.table()
        for key, one in value.items():
            row[key] = _item(one)
        at.insert(last, row) if last < len(at) else at.append(row)
        if last + 1 < len(at):
            del at[last + 1]
    else:
        at[last] = _item(value)


def _item(value: Any) -> Any:
    """Lines of text as lines; a table in a row in one line."""
    import tomlkit

    if isinstance(value, str) and "\n" in value and "\r" not in value and not value.startswith("\n"):
        escaped = tomlkit.string(value, multiline=True).as_string()[3:-3]
        return tomlkit.parse(f'lines = """\n{escaped}"""')["lines"]
    if isinstance(value, dict):
        table = tomlkit.inline_table()
        table.update(value)
        return table
    return value
