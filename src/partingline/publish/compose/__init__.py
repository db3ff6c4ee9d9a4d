"""From facts and findings to a document: what is said, in which order, and where each number leads.

What comes in: an opened unit and its findings. What goes out: a `Document`. Nothing is computed or judged here.
One section, one file; `ledger.py` keeps what was spoken of, so that the lists at the end hold just that.
"""

from partingline.publish.compose.report import compose

__all__ = ["compose"]
