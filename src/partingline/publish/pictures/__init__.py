"""The picture folder: every photo with its call-outs burned in and its alternative text.

What comes in: the figures of a document. What goes out: JPEG bytes by name, and `alt.json`.
"""

from partingline.publish.pictures.burn import picture_folder

__all__ = ["picture_folder"]
