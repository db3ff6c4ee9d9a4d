"""Whether the output capacitors together carry the ripple current that the rectifier leaves them."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import estimate, worst
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.output_capacitor_ripple",
    claim="The output capacitors' rated ripple current is not below the ripple current at full load.",
    source=cite("maker-rating", "rated ripple current at 100 kHz", "S"),
    mains=True,
)
def output_capacitor_ripple(judge: Judge) -> Iterator[Finding]:
    """One finding for the stage, at the offer with the highest ripple. Unrated ceramics only help."""
    capacitors = judge.unit.having("output_capacitor")
    if not capacitors:
        return
    ripple = worst(judge.book, "output_ripple_current", "stage:secondary")
    ratings = [Key.of(part.subject, "rated_ripple_current") for part in capacitors]
    known = {
        part.ref: amperes * part.count
        for part, key in zip(capacitors, ratings, strict=True)
        if (amperes := estimate(judge.book, key)) is not None
    }
    drawn = estimate(judge.book, ripple)
    total = sum(known.values())
    if drawn is None or (len(known) < len(ratings) and total < drawn):
        yield judge.lacks(
            judge.rule.claim,
            subject="stage:secondary",
            missing=[key for key in (*ratings, ripple) if judge.book.fact(key) is None],
            next_step="Read the rated ripple current at 100 kHz in the data sheet of the capacitor's series.",
        )
        return
    yield judge.at_most(
        ripple,
        total,
        "The output capacitors see a ripple current of {value}; {refs} are rated {limit} together.",
        label="rated ripple current",
        refs=" and ".join(known),
    )
