"""Fields of `photos/marks.json`: one annotation, by its id."""

import json
from collections.abc import Iterator
from typing import Any

from partingline.workbench.editing.outcome import RefusedError
from partingline.workbench.editing.versions import ABSENT, Path, version_of

_FILE = "photos/marks.json"
_MOST = 5000


class MarksForm:
    """The marks. One without an id is called by the hash of its content until it is edited."""

    def look(self, text: str, path: Path) -> tuple[Any, str]:
        """The annotation of an id and its version."""
        items, at = _find(text, path)
        return (None, ABSENT) if at is None else (items[at], version_of(items[at]))

    def put(self, text: str, path: Path, value: Any) -> tuple[str, Path]:
        """The text with one annotation set, added or taken away; the others stay in their order."""
        items, at = _find(text, path)
        if value is None:
            if at is not None:
                del items[at]
        elif not isinstance(value, dict):
            raise RefusedError(_FILE, type(value).__name__, "a W3C Web Annotation", "Send one annotation.")
        elif at is None and len(items) >= _MOST:
            raise RefusedError(_FILE, f"{len(items)} marks", f"at most {_MOST}", "Take some away first.")
        else:
            items[len(items) if at is None else at : (at if at is not None else len(items)) + 1] = [value]
        return _dumped(text, items), path

    def fields(self, text: str) -> Iterator[tuple[Path, Any, str]]:
        """Every annotation."""
        for item in _items(text):
            yield (_id(item),), item, version_of(item)


def _find(text: str, path: Path) -> tuple[list[Any], int | None]:
    if len(path) != 1 or not isinstance(path[0], str) or not 0 < len(path[0]) <= 200:
        raise RefusedError(_FILE, f"the path {list(path)!r:.120}", "the id of an annotation", "Give it an id.")
    items = _items(text)
    return items, next((at for at, item in enumerate(items) if _id(item) == path[0]), None)


def _items(text: str) -> list[Any]:
    try:
        raw = json.loads(text.removeprefix("\ufeff")) if text.strip() else []
    except (ValueError, RecursionError) as error:
        step = "Mend that place in the file by hand; until then marks cannot be edited here."
        raise RefusedError(_FILE, str(error)[:120], "JSON: an array of annotations", step) from error
    items = raw.get("items") if isinstance(raw, dict) else raw
    if not isinstance(items, list):
        raise RefusedError(_FILE, "no array of annotations", "an array, or a page with 'items'", "Mend the file.")
    return items


def _id(item: Any) -> str:
    given = item.get("id") if isinstance(item, dict) else None
    return given if isinstance(given, str) and given else f"#content-{version_of(item)}"


def _dumped(text: str, items: list[Any]) -> str:
    raw = json.loads(text.removeprefix("\ufeff")) if text.strip() else items
    whole = {**raw, "items": items} if isinstance(raw, dict) else items
    try:
        return json.dumps(whole, ensure_ascii=False, indent=1, allow_nan=False) + "\n"
    except ValueError as error:
        raise RefusedError(_FILE, str(error)[:120], "numbers that JSON can hold", "Draw the mark again.") from error
