"""What a SigMF pair says of itself beside its samples: the port it was taken at, and the hash of what was recorded.

Source of the fields: SigMF specification v1.2, global object (`core:sha512`); `partingline:port` is this project's.
"""

import json
from dataclasses import dataclass

from partingline.readers.folder import Folder

META, DATA = ".sigmf-meta", ".sigmf-data"


@dataclass(frozen=True, slots=True)
class RecordingNotes:
    """`port` is "" where none is told."""

    port: str = ""


def read_notes(folder: Folder, name: str) -> RecordingNotes | None:
    """Notes of `captures/NAME.sigmf-meta`; None (and a problem) where it is no text. Samples that are not those that
    were recorded are reported; what is no JSON is left to the reader of the samples."""
    file = folder.text(name, "SigMF metadata: a JSON object with 'global' and 'captures'")
    if file is None:
        return None
    try:
        top = json.loads(file.text)
    except (ValueError, RecursionError):
        return RecordingNotes()
    about = top.get("global") if isinstance(top, dict) else None
    if not isinstance(about, dict):
        return RecordingNotes()
    _compare(folder, name.removesuffix(META) + DATA, about.get("core:sha512"))
    port = about.get("partingline:port")
    return RecordingNotes(port if isinstance(port, str) else "")


def _compare(folder: Folder, data: str, told: object) -> None:
    if not isinstance(told, str) or not folder.has(data):
        return
    found = folder.digest(data, "sha512")
    if found and found != told.casefold():
        differs = "the samples are not those that were recorded: core:sha512 in the metadata differs"
        step = "Copy the original in again; until then what can be read of it is used."
        folder.report(data, differs, "the file as it was recorded", step)
