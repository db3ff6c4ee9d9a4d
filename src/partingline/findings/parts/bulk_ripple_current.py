"""Whether the bulk capacitors together carry the ripple current of the mains at full load."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, estimate, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.bulk_ripple_current",
    claim="The rated ripple current of the bulk capacitors covers the ripple at the lowest mains voltage.",
    source=cite("maker-rating", "rated ripple current at 100 or 120 Hz", "S"),
)
def bulk_ripple_current(judge: Judge) -> Iterator[Finding]:
    """One finding for the stage: capacitors in parallel share the current as they share the capacitance."""
    capacitors = judge.unit.having("bulk_capacitor")
    if not capacitors:
        return
    ripple = at_lowest(judge.book, "bulk_ripple_current", "stage:input")
    ratings = [Key.of(part.subject, "rated_ripple_current") for part in capacitors]
    known = [
        amperes * part.count
        for part, key in zip(capacitors, ratings, strict=True)
        if (amperes := estimate(judge.book, key)) is not None
    ]
    if len(known) < len(ratings) or judge.book.fact(ripple) is None:
        yield judge.lacks(
            judge.rule.claim,
            subject="stage:input",
            missing=[key for key in (*ratings, ripple) if judge.book.fact(key) is None],
            next_step="Read the rated ripple current at 120 Hz in the data sheet of the capacitor's series.",
        )
        return
    yield judge.at_most(
        ripple,
        sum(known),
        "At full load and {mains} mains the ripple current of the mains is {value}; {refs} are rated {limit} "
        "together. The share of the switching frequency comes on top.",
        label="rated ripple current",
        mains=said_at(ripple),
        refs=" and ".join(part.ref for part in capacitors),
    )
