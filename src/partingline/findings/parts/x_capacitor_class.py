"""Whether a capacitor across the line is of a class made for that place."""

import re
from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import worded
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.x_capacitor_class",
    claim="The capacitor across the line carries class X1 or X2, or a Y class.",
    source=cite("iec-60384-14", "classes by place of use", "M"),
)
def x_capacitor_class(judge: Judge) -> Iterator[Finding]:
    """One finding for each X capacitor. Y capacitors may stand across the line too."""
    for part in judge.unit.having("x_capacitor"):
        key = Key.of(part.subject, "safety_class")
        fact = judge.book.fact(key)
        if fact is None:
            yield judge.lacks(
                judge.rule.claim,
                subject=part.subject,
                missing=[key],
                next_step="Read the class (X1, X2, Y1, Y2) on the capacitor and add it to its ratings.",
            )
            continue
        yield judge.decided(
            bool(re.search(r"\b(X[12]|Y[12])", worded(fact).upper())),
            "Capacitor {ref} across the line is marked {marked}; classes X1, X2, Y1 and Y2 are made for it.",
            subject=part.subject,
            used=[key],
            ref=part.ref,
            marked=key,
        )
