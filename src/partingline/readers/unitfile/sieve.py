"""Take faulty places out of parsed data, and keep account of where the rest stands in the file."""

from typing import Any

Path = tuple[str | int, ...]
_GONE = object()


def remove(data: Any, path: Path) -> None:
    """Mark the value at a path as gone, or the nearest thing above it where the path leads to nothing (a key that is
    missing makes its table gone)."""
    while path:
        above = _at(data, path[:-1])
        if above is _GONE:
            return
        last = path[-1]
        if isinstance(above, dict) and last in above:
            above[last] = _GONE
            return
        if isinstance(above, list) and isinstance(last, int) and last < len(above):
            above[last] = _GONE
            return
        path = path[:-1]


def sweep(data: Any, path: Path = ()) -> list[Path]:
    """Take out all that is marked; the paths, as they were, of what was taken out of lists."""
    taken: list[Path] = []
    if isinstance(data, dict):
        for key in [key for key, value in data.items() if value is _GONE]:
            del data[key]
        for key, value in data.items():
            taken += sweep(value, (*path, key))
    elif isinstance(data, list):
        for number, value in enumerate(data):
            taken += [(*path, number)] if value is _GONE else sweep(value, (*path, number))
        data[:] = [value for value in data if value is not _GONE]
    return taken


def shifted(lines: dict[Path, int], taken: list[Path]) -> dict[Path, int]:
    """Lines by the paths after `taken` is gone from the lists."""
    for gone in sorted(taken, key=len, reverse=True):
        lines = {path: line for path, line in lines.items() if path[: len(gone)] != gone}
    return {_shift(path, taken): line for path, line in lines.items()}


def _shift(path: Path, taken: list[Path]) -> Path:
    return tuple(
        piece - sum(1 for gone in taken if gone[:-1] == path[:depth] and _number(gone[-1]) < piece)
        if isinstance(piece, int)
        else piece
        for depth, piece in enumerate(path)
    )


def _number(piece: str | int) -> int:
    return piece if isinstance(piece, int) else 0


def _at(data: Any, path: Path) -> Any:
    for piece in path:
        if isinstance(data, dict):
            data = data.get(piece)
        elif isinstance(data, list) and isinstance(piece, int) and piece < len(data):
            data = data[piece]
        else:
            return None
    return data
