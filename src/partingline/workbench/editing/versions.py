"""What an editor saw of a field, as a short text: the hash of its value and of the row that it stands in."""

import hashlib
import json
from datetime import date, time
from typing import Any

ABSENT = "absent"
"""The version of a field that is not there, outside rows."""
Path = tuple[str | int, ...]


def version_of(value: Any, *row: Any) -> str:
    """The version of a value; `row` tells the row, so that a field of another row is another field."""
    if value is None and not row:
        return ABSENT
    said = json.dumps([plain(value), *map(plain, row)], ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(said.encode("utf-8", "surrogatepass")).hexdigest()[:16]


def plain(value: Any) -> Any:
    """A value of TOML as JSON can hold it: dates as they are written."""
    if isinstance(value, dict):
        return {str(key): plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    return value.isoformat() if isinstance(value, date | time) else value
