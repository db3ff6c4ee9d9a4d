"""What changed since a publication: facts, verdicts, sentences and figures, and the dated note that says so.

What comes in: the frozen record of a publication, and the unit as it is now. What goes out: `Changes`, and a
note in Markdown.
"""

from partingline.publish.changes.compare import Change, Changes, changes
from partingline.publish.changes.frozen import FROZEN, frozen_record, read_frozen
from partingline.publish.changes.note import correction_note

__all__ = ["FROZEN", "Change", "Changes", "changes", "correction_note", "frozen_record", "read_frozen"]
