"""Text that no output format can hold as it is.

What comes in: any text. What goes out: the same text, with a visible mark for what cannot be written.
"""

import re

_UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")


def printable(words: str) -> str:
    """`words` with U+FFFD for control characters and lone surrogates, which XML and UTF-8 forbid."""
    return _UNWRITABLE.sub("\ufffd", words)
