"""The document as a tagged PDF: the same bytes for the same document.

What comes in: a `Document`. What goes out: the bytes of the file.
"""

from partingline.publish.pdf.render import render_pdf

__all__ = ["render_pdf"]
