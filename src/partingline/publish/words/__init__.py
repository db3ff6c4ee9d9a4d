"""What was said, checked: the JSON record, and captions in which the slips are put right.

What comes in: `Checked`. What goes out: a record, and the text of a new caption file; nothing is computed here.
"""

from partingline.publish.words.captions import captions_text
from partingline.publish.words.corrected import corrected_script
from partingline.publish.words.record import words_record

__all__ = ["captions_text", "corrected_script", "words_record"]
