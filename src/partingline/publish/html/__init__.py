"""The document as one HTML file that needs nothing else: style, faces and pictures are inside, no script.

What comes in: a `Document`. What goes out: the text of the page.
"""

from partingline.publish.html.render import block_environment, block_functions, render_html, style_sheet

__all__ = ["block_environment", "block_functions", "render_html", "style_sheet"]
