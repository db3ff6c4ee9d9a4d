"""Files that are dropped in: streamed to disk, bounded, looked at before they count, and never over another one.

Signatures of pictures are those of `readers/photos/opening.py`; IBM/Microsoft RIFF (WAV).
"""

import hashlib
import os
import re
from collections.abc import AsyncIterable
from dataclasses import dataclass
from pathlib import Path

from starlette.concurrency import run_in_threadpool

from partingline.readers.photos.opening import picture_kind
from partingline.workbench.api.answers import AnswerError

MOST_BYTES = 2 << 30
_HEAD = 4096
_NAME = re.compile(r"[^\W_][\w .()+,-]{0,119}", re.UNICODE)
_PICTURES = {
    ".jpg": "JPEG", ".jpeg": "JPEG", ".png": "PNG", ".webp": "WEBP", ".heic": "HEIF", ".heif": "HEIF", ".tif": "TIFF",
    ".tiff": "TIFF",
}  # fmt: skip
ENDINGS = {
    "photos": tuple(_PICTURES),
    "logs": (".csv", ".txt", ".tsv", ".xlsx"),
    "captures": (".sigmf-meta", ".sigmf-data", ".npy", ".csv", ".wav", ".vcd", ".hex"),
    "words": (".md", ".txt", ".vtt", ".srt"),
}
_BINARY = {".npy": b"\x93NUMPY", ".wav": b"RIFF", ".xlsx": b"PK\x03\x04"}
_FREE = (".sigmf-data",)


@dataclass(frozen=True, slots=True)
class Kept:
    """A file that is now in the unit folder."""

    path: str
    bytes: int
    sha256: str


async def keep(root: Path, folder: str, name: str, stream: AsyncIterable[bytes], most: int = MOST_BYTES) -> Kept:
    """Stream a file into a folder of a unit. AnswerError says why it cannot be taken; nothing is left of it then."""
    target = _target(root, folder, name)
    beside = target.with_name(f".{target.name}.{os.urandom(6).hex()}.part")
    digest, size, head = hashlib.sha256(), 0, b""
    try:
        with beside.open("xb") as out:
            async for piece in stream:
                size += len(piece)
                if size > most:
                    raise AnswerError(413, name, f"more than {most} bytes", f"at most {most} bytes", "Shorten it.")
                if len(head) < _HEAD:
                    head += piece[: _HEAD - len(head)]
                    if len(head) >= _HEAD:
                        _sniff(name, head)
                digest.update(piece)
                await run_in_threadpool(out.write, piece)
        _sniff(name, head)
        _link(beside, target, name)
    finally:
        beside.unlink(missing_ok=True)
    return Kept(f"{folder}/{target.name}", size, digest.hexdigest())


def _target(root: Path, folder: str, name: str) -> Path:
    endings = ENDINGS.get(folder)
    if endings is None:
        raise AnswerError(404, "folder", f"{folder!r:.60}", f"one of {', '.join(ENDINGS)}", "Choose a folder.")
    if not _NAME.fullmatch(name) or name != name.strip():
        step = "Rename the file before you drop it."
        raise AnswerError(422, "name", f"{name!r:.140}", "letters, digits, blanks and - _ . + ( ) in a name", step)
    if not name.lower().endswith(endings):
        raise AnswerError(415, name, "a kind that is not read here", f"one of {', '.join(endings)}", "Convert it.")
    inside = (root / folder).resolve()
    if not inside.is_relative_to(root.resolve()):
        raise AnswerError(422, folder, "a link out of the unit folder", "a folder", "Make it a folder.")
    inside.mkdir(exist_ok=True)
    if (inside / name).exists() or (inside / name).is_symlink():
        step = "Originals are never changed: rename one of them."
        raise AnswerError(409, name, "a file of that name is there", "a name that is free", step)
    return inside / name


def _sniff(name: str, head: bytes) -> None:
    """The content must be what the name says."""
    ending = "." + name.lower().rpartition(".")[2]
    if ending in _FREE:
        return
    picture, begin = _PICTURES.get(ending), _BINARY.get(ending)
    if picture or begin:
        if picture_kind(head) != picture if picture else not head.startswith(begin or b""):
            step = "Save it anew from the original, under its own name."
            raise AnswerError(415, name, "content of another kind", f"what {ending} says", step)
        return
    if not head.strip():
        raise AnswerError(415, name, "an empty file", "text", "Look whether it was saved whole.")
    if b"\0" in head and not head.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise AnswerError(415, name, "binary content", "text", "Convert it to text first.")


def _link(beside: Path, target: Path, name: str) -> None:
    """Give the file its name, unless someone else took it meanwhile."""
    try:
        os.link(beside, target)
    except FileExistsError as error:
        step = "Originals are never changed: rename one of them."
        raise AnswerError(409, name, "a file of that name is there", "a name that is free", step) from error
    except OSError:  # a file system without hard links
        beside.rename(target)
