"""The script before the recording: shot list and narration draft, each figure bound to its fact.

What comes in: an opened unit, its findings, template files that a person edits. What goes out: `Draft`, its
Markdown.
The templates of a language are plain files in `templates/LANGUAGE/`, one a section, in the order of their names.
"""

from partingline.publish.script.chapters import chapter_list
from partingline.publish.script.draft import Draft, Line, Part, Shot, draft
from partingline.publish.script.markdown import script_markdown

__all__ = ["Draft", "Line", "Part", "Shot", "chapter_list", "draft", "script_markdown"]
