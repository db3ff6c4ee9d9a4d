"""Edits of a unit folder: one field at a time, compared with what its editor saw, written in one move, kept."""

from partingline.workbench.editing.forms import Form, form_of
from partingline.workbench.editing.outcome import ConflictError, Done, RefusedError
from partingline.workbench.editing.versions import ABSENT, Path
from partingline.workbench.editing.writer import Writer

__all__ = ["ABSENT", "ConflictError", "Done", "Form", "Path", "RefusedError", "Writer", "form_of"]
