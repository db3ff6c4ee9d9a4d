"""A regular expression for a list of words, the longest first, whole words only."""

import re
from collections.abc import Iterable


def any_of(words: Iterable[str], *, exact: bool = False) -> re.Pattern[str]:
    """Matches any of the words; Latin ones must not run on into further letters."""
    ordered = sorted(words, key=len, reverse=True)
    body = "|".join(
        re.escape(word) + (r"(?![A-Za-zÀ-ÿ])" if word[-1].isascii() and word[-1].isalpha() else "") for word in ordered
    )
    return re.compile(f"(?:{body})", 0 if exact else re.IGNORECASE)
