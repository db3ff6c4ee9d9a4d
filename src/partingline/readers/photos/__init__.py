"""Photos and what is marked on them: pins, lines and outlines as W3C Web Annotations."""

from partingline.readers.photos.marks import Mark, read_marks

__all__ = ["Mark", "read_marks"]
