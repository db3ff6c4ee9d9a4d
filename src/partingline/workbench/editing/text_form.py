"""A text as one field: what stands in `words/`."""

from collections.abc import Iterator
from typing import Any

from partingline.workbench.editing.outcome import RefusedError
from partingline.workbench.editing.versions import ABSENT, Path, version_of


class TextForm:
    """The whole text is the field of the empty path; an empty text counts as absent."""

    def look(self, text: str, path: Path) -> tuple[Any, str]:
        """The text and its version."""
        if path:
            raise RefusedError(str(list(path)), "a place in a text", "the empty path", "Edit the text as a whole.")
        return (text, version_of(text)) if text else (None, ABSENT)

    def put(self, text: str, path: Path, value: Any) -> tuple[str, Path]:
        """The new text."""
        if value is not None and not isinstance(value, str):
            raise RefusedError("text", type(value).__name__, "text", "Send a text.")
        return value or "", path

    def fields(self, text: str) -> Iterator[tuple[Path, Any, str]]:
        """The text."""
        yield ((), *self.look(text, ()))
