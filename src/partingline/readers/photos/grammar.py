"""How well a text keeps what labels and parts have printed on them, and what a label cannot have meant."""

import re

from partingline.readers.label import read_label
from partingline.readers.markings import decode_marking

_MISREAD = (
    (re.compile(r"(?<=\d)\s?HZ\b"), "Hz"),
    (re.compile(r"(?<=\dV)\s*[-–—]+\s*(?=\d\d(?:\s?[/-]\s?\d\d)?\s?Hz)"), "~ "),
    (re.compile(r"(?<=\dV)\s*[=≡﹦]\s*(?=\d)"), "\N{DIRECT CURRENT SYMBOL FORM TWO}"),
)
"""The unit is written Hz (SI Brochure, 9th edition, table 4); a frequency follows the sign of alternating voltage;
between volts and amperes stands the sign of direct current (IEC 60417-5031)."""


def understood(text: str, kind: str | None = None) -> float:
    """0 to 1: of a line of a rating label or the marking of a part of a kind, whichever explains more of it."""
    letters = max(len(text), 1)
    markings = (one for one in decode_marking(text, kind) if one.fits)
    as_marking = max((one.plausibility * (1 - len(one.unread) / letters) for one in markings), default=0.0)
    as_label = sum(len(said.text) for said in read_label(text).statements) / letters
    return max(as_marking, min(as_label, 1.0))


def mended(text: str) -> str:
    """A line of a rating label without the slips that its grammar rules out."""
    for pattern, meant in _MISREAD:
        text = pattern.sub(meant, text)
    return text
