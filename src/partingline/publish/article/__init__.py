"""The article: a short page of a unit in the language and the look of a profile.

What comes in: an opened unit, its findings, a `Profile`. What goes out: a `Document`, its HTML and
Markdown with front matter.
"""

from partingline.publish.article.compose import article
from partingline.publish.article.profile import Profile, read_profile
from partingline.publish.article.render import article_html, article_markdown

__all__ = ["Profile", "article", "article_html", "article_markdown", "read_profile"]
