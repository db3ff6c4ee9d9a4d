"""Evidence at its place: the lines about a line, the rows about a row, the picture with its region."""

from pathlib import Path
from typing import Any
from urllib.parse import quote

from partingline.workbench import tiles
from partingline.workbench.api.answers import AnswerError

_AROUND = 12
_MOST = 120
_TEXT = 64 << 20
_LONGEST = 400


def inside(root: Path, name: str) -> Path:
    """A file of the unit folder; AnswerError for what is not one, or lies outside through links."""
    found = AnswerError(404, name[:200], "no such file", "a file of the unit folder", "Look at the unit.")
    try:
        path = (root / name).resolve()
        good = path.is_relative_to(root) and path.is_file() and not any(p.startswith(".") for p in Path(name).parts)
    except (OSError, RuntimeError, ValueError) as error:
        raise found from error
    if not good:
        raise found
    return path


def place_shown(root: Path, cache: Path, asked: dict[str, str]) -> dict[str, Any]:
    """What the page of a place shows; `asked` holds path and the place's numbers."""
    name = asked.get("path", "")
    path = inside(root, name)
    told: dict[str, Any] = {
        "path": name, "href_path": quote(name), "lines": [], "counted": "line", "region": None, "capture": None,
        "place": "", "photo": name.removeprefix("photos/"), "size": (0, 0), "at": 0.0,
    }  # fmt: skip
    numbers = {key: _number(text) for key, text in asked.items() if key not in ("path", "column")}
    if "w" in numbers and name.startswith("photos/"):
        picture = tiles.find_picture(root, cache, told["photo"])
        region = tuple(numbers.get(key, 0.0) for key in ("x", "y", "w", "h"))
        return {**told, "region": region, "size": tiles.size_of(picture), "place": "the region in the photo"}
    if "t_s" in numbers:
        at = numbers["t_s"]
        return {**told, "capture": path.name, "at": at, "place": f"samples from {at * 1e3:.3f} ms"}
    if path.suffix.lower() in (".toml", ".csv", ".md", ".vtt", ".srt", ".txt", ".json", ".jsonl", ".tsv", ".hex"):
        first = int(numbers.get("line", numbers.get("row", numbers.get("first", 0))))
        last = int(numbers.get("last", first))
        row = "row" in numbers or "first" in numbers
        column = f", {asked['column']}" if asked.get("column") else ""
        words = f"{'row' if row else 'line'} {first}" + (f" to {last}" if last != first else "") + column
        lines = _lines(path, first, last)
        return {**told, "lines": lines, "counted": "row" if row else "line", "place": words if first else ""}
    return told


def _lines(path: Path, first: int, last: int) -> list[tuple[int, str, bool]]:
    begin = max(1, first - _AROUND)
    end = min(max(last, first) + _AROUND, begin + _MOST)
    found: list[tuple[int, str, bool]] = []
    if path.stat().st_size > _TEXT:
        return found
    with path.open("r", encoding="utf-8", errors="replace") as stream:
        for number, line in enumerate(stream, 1):
            if number > end:
                break
            if number >= begin:
                text = line.rstrip("\r\n")
                found.append((number, text[:_LONGEST], bool(first) and first <= number <= last))
    return found


def _number(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0 <= value < 1e12:
        raise AnswerError(400, "place", f"{text!r:.60}", "a number", "Take a link of the evidence.")
    return value
