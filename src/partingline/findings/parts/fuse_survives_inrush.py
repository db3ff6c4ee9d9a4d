"""Whether the fuse survives switching on: its melting I²t against that of the inrush."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_highest, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.fuse_survives_inrush",
    claim="The melting I²t of the fuse exceeds the I²t of the inrush at the highest mains voltage.",
    source=cite("maker-rating", "melting I²t of the fuse", "S"),
    mains=True,
)
def fuse_survives_inrush(judge: Judge) -> Iterator[Finding]:
    """Speaks where either side is known: the melting I²t is in the data sheet only. A second finding a fuse for a
    limiter that has not cooled, where that can be computed."""
    inrush = at_highest(judge.book, "inrush_i2t", "stage:input")
    for part in judge.unit.having("fuse"):
        melting = Key.of(part.subject, "melting_i2t")
        if judge.book.fact(melting) or (part.part_number and judge.book.fact(inrush)):
            yield judge.at_least(
                melting,
                inrush,
                "Fuse {ref} melts at {value}; switching on cold at {mains} mains passes {limit}.",
                label="inrush",
                next_step="Read the melting I²t of the fuse and the cold resistance of the limiter.",
                ref=part.ref,
                mains=said_at(inrush),
            )
        warm = at_highest(judge.book, "warm_inrush_i2t", "stage:input")
        if judge.book.fact(melting) and judge.book.fact(warm):
            yield judge.at_least(
                melting,
                warm,
                "Fuse {ref} melts at {value}; plugged in again at {mains} mains while the limiter is warm it passes "
                "{limit}.",
                label="inrush, limiter warm",
                next_step="Read the melting I²t of the fuse; measure the limiter's resistance warm.",
                ref=part.ref,
                mains=said_at(warm),
            )
