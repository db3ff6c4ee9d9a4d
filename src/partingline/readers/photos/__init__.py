"""Photos and what is marked on them: pins, lines and outlines as W3C Web Annotations."""

from partingline.readers.photos.marks import Mark, read_marks
from partingline.readers.photos.pictures import report_broken_pictures

__all__ = ["Mark", "read_marks", "report_broken_pictures"]
