"""Whether the photos are whole: a file that stops halfway is said here, before a page shows half a picture.

Sources: ITU-T T.81 (JPEG, markers SOI and EOI, annex B), W3C PNG third edition (signature, 5.2; IEND, 11.2.5).
"""

from partingline.readers.folder import Folder

_ENDS = {
    ".png": (b"\x89PNG\r\n\x1a\n", b"IEND\xaeB`\x82"),
    ".jpg": (b"\xff\xd8\xff", b"\xff\xd9"),
    ".jpeg": (b"\xff\xd8\xff", b"\xff\xd9"),
}
_TAIL = 1 << 16
"""Bytes at the end in which the end of the picture must lie: some cameras write more behind it."""


def report_broken_pictures(folder: Folder) -> None:
    """Report every JPEG and PNG in `photos/` that does not begin or end as its kind does."""
    for name in folder.names("photos", *_ENDS):
        begin, end = next(ends for ending, ends in _ENDS.items() if name.lower().endswith(ending))
        first, last = folder.ends(name, len(begin), _TAIL)
        kind = "PNG" if begin.startswith(b"\x89") else "JPEG"
        if not first:
            folder.report(name, "an empty file", f"a {kind} picture", "Copy the photo in again.")
        elif first != begin:
            folder.report(name, f"no {kind}", f"a {kind} picture, as its name says", "Copy the photo in again.")
        elif end not in last:
            folder.report(name, "a picture that stops before its end", f"a whole {kind}", "Copy the photo in again.")
