"""Spoken and written words beside the facts: which fact each figure speaks of, and whether it is right.

What comes in: a unit, its facts, a `Script`. What goes out: `Checked`, and statements of the spoken route.

    lexicon.py     words that name parts, ports, quantities, loads, routes
    context.py     what stands about a figure
    conditions.py  figures that are conditions
    candidates.py  facts as they could be said      compare.py  whether a number is right
    bind.py        which fact                       check.py    the whole check
    elliptic.py    numbers without their unit
    counts.py, codes.py, expected.py, correct.py
"""

from partingline.facts.spoken.check import check_words, routes_of
from partingline.facts.spoken.statements import spoken_statements
from partingline.facts.spoken.types import Checked, Class, Spoken

__all__ = ["Checked", "Class", "Spoken", "check_words", "routes_of", "spoken_statements"]
