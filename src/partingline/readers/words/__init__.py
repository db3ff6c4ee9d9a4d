"""Spoken and written text: captions, narration, articles.

What comes in: the text of a WebVTT, SubRip, plain or Markdown file. What goes out: a `Script` (one text with its cues)
and its `Figure`s, each with place, readings in SI units and how it was said. Nothing is bound or judged here.

    captions.py  files to cues           numerals.py  number words
    tokens.py    text to tokens          units.py     units as said, written, misheard
    figures.py   quantities in order     codes.py     part numbers, standards, classes
    speaking.py  numbers back to words
"""

from partingline.readers.words.captions import read_script
from partingline.readers.words.codes import find_classes, find_codes, find_standards
from partingline.readers.words.figures import find_figures
from partingline.readers.words.speaking import say_number, say_quantity, say_unit
from partingline.readers.words.tokens import tokens_of
from partingline.readers.words.types import Cue, Figure, Reading, Script, Token

__all__ = [
    "Cue",
    "Figure",
    "Reading",
    "Script",
    "Token",
    "find_classes",
    "find_codes",
    "find_figures",
    "find_standards",
    "read_script",
    "say_number",
    "say_quantity",
    "say_unit",
    "tokens_of",
]
