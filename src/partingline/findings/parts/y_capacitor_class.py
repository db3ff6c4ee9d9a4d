"""Whether the capacitor across the insulation barrier is of a class that may bridge reinforced insulation."""

import re
from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import worded
from partingline.findings.rule import rule
from partingline.model import Finding, Key, Part
from partingline.sources import cite


@rule(
    id="parts.y_capacitor_class",
    claim="Across the barrier stands one Y1 capacitor, or two Y2 capacitors in series.",
    source=cite("iec-60384-14", "classes by place of use", "M"),
)
def y_capacitor_class(judge: Judge) -> Iterator[Finding]:
    """One finding for each Y capacitor outside the input stage, where Y capacitors go to earth."""
    across = tuple(part for part in judge.unit.having("y_capacitor") if part.stage != "input")
    for part in across:
        key = Key.of(part.subject, "safety_class")
        fact = judge.book.fact(key)
        if fact is None:
            yield judge.lacks(
                judge.rule.claim,
                subject=part.subject,
                missing=[key],
                next_step="Read the class (Y1 or Y2) on the capacitor and add it to its ratings.",
            )
            continue
        yield _of_class(judge, part, key, re.findall(r"[XY]\d", worded(fact).upper()), len(across))


def _of_class(judge: Judge, part: Part, key: Key, classes: list[str], count: int) -> Finding:
    if "Y1" not in classes and "Y2" in classes and count > 1:
        return judge.undecided(
            "Capacitor {ref} at the barrier is marked {marked}: two of class Y2 do if they stand in series.",
            subject=part.subject,
            used=[key],
            next_step="Trace whether the Y2 capacitors stand in series from primary to secondary.",
            ref=part.ref,
            marked=key,
        )
    return judge.decided(
        "Y1" in classes,
        "Capacitor {ref} across the barrier is marked {marked}; a single one has to be class Y1.",
        subject=part.subject,
        used=[key],
        ref=part.ref,
        marked=key,
    )
