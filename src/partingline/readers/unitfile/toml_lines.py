"""On which line each key of a TOML file is written: what the parser does not tell."""

import re

_TABLE = re.compile(r"^\s*\[\s*([^\[\]]+?)\s*\]\s*(?:#.*)?$")
_ARRAY = re.compile(r"^\s*\[\[\s*([^\[\]]+?)\s*\]\]\s*(?:#.*)?$")
_KEY = re.compile(r"""^\s*((?:"[^"]*"|'[^']*'|[\w-]+)(?:\s*\.\s*(?:"[^"]*"|'[^']*'|[\w-]+))*)\s*=""")
_PIECE = re.compile(r"""\s*(?:"([^"]*)"|'([^']*)'|([\w-]+))\s*(?:\.|$)""")


def line_index(text: str) -> dict[tuple[str | int, ...], int]:
    """Line (from 1) of every table and key, by its path: `("port", 0, "offers")`."""
    index: dict[tuple[str | int, ...], int] = {}
    counts: dict[tuple[str | int, ...], int] = {}
    table: tuple[str | int, ...] = ()
    quoted = ""
    for number, line in enumerate(text.split("\n"), 1):
        if quoted:
            quoted = "" if quoted in line else quoted
            continue
        if match := _ARRAY.match(line):
            name = _path(match.group(1))
            counts[name] = counts.get(name, -1) + 1
            table = (*name, counts[name])
            index[table] = number
        elif match := _TABLE.match(line):
            table = _path(match.group(1))
            index[table] = number
        elif match := _KEY.match(line):
            index[(*table, *_path(match.group(1)))] = number
            quoted = _opens(line[match.end() :])
    return index


def line_of(index: dict[tuple[str | int, ...], int], path: tuple[str | int, ...]) -> int:
    """The line of a path or of the nearest table above it; 0 where nothing is known."""
    for end in range(len(path), 0, -1):
        if path[:end] in index:
            return index[path[:end]]
    return 0


def dotted(path: tuple[str | int, ...]) -> str:
    """`port[0].offers`."""
    text = ""
    for piece in path:
        text += f"[{piece}]" if isinstance(piece, int) else f".{piece}" if text else piece
    return text


def _path(text: str) -> tuple[str, ...]:
    return tuple(next(filter(None, match.groups()), "") for match in _PIECE.finditer(text))


def _opens(rest: str) -> str:
    for quote in ('"""', "'''"):
        if rest.count(quote) == 1:
            return quote
    return ""
