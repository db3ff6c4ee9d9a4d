"""`parts.csv`: one row a part, as a spreadsheet really writes it."""

from partingline.readers.parts.rows import PartRow, read_parts

__all__ = ["PartRow", "read_parts"]
