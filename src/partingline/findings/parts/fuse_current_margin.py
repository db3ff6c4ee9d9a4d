"""A fuse without an IEC 60127 letter is loaded to three quarters of its rating at most."""

import re
from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, estimate, said_at, worded
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

SHARE = 0.75
IEC_LETTER = re.compile(r"\b(FF|F|M|T|TT)\b")


@rule(
    id="parts.fuse_current_margin",
    claim="A fuse without an IEC 60127 letter is loaded to at most 75 % of its rated current.",
    source=cite("ul-248-14", "opens at 135 % within the hour; 75 % is the usual loading", "P"),
    mains=True,
)
def fuse_current_margin(judge: Judge) -> Iterator[Finding]:
    """Silent for IEC fuses, and where rating or line current is unknown: `fuse_current` says so."""
    line = at_lowest(judge.book, "line_current", "stage:input")
    drawn = estimate(judge.book, line)
    for part in judge.unit.having("fuse"):
        rated = Key.of(part.subject, "rated_current")
        letter = judge.fact(part.subject, "fuse_characteristic")
        if drawn is None or judge.book.fact(rated) is None or (letter and IEC_LETTER.search(worded(letter))):
            continue
        yield judge.at_least(
            rated,
            drawn / SHARE,
            "Fuse {ref} carries no IEC 60127 letter and is rated {value}; to be loaded to {share} at most "
            "by the line current of {line} at {mains} mains, it would be rated {limit} or more.",
            label="75 % loading",
            ref=part.ref,
            share=(SHARE, "current_ratio"),
            line=line,
            mains=said_at(line),
        )
