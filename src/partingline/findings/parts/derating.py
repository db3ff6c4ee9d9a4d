"""Whether each part stays within what published derating rules allow, all of them side by side."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import estimate
from partingline.findings.rating_rules import PORT, Allowed, RuledStress, ruled_stresses
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

RATING = cite("maker-rating", "rated current of the connector, as its standard asks; derated by none", "S")


@rule(
    id="parts.derating",
    claim="Every part stays within what the published derating rules allow of its ratings.",
    source=cite("common-practice", "published derating guides: rules of design, no requirement", "P"),
)
def derating(judge: Judge) -> Iterator[Finding]:
    """One finding for each stress of a part that at least one rule set speaks of, held against the strictest."""
    for stress in ruled_stresses(judge.unit, judge.book):
        drawn = estimate(judge.book, stress.key)
        if stress.part.role == PORT and stress.of == "current":
            yield _of_port(judge, stress)
        if not stress.allowed or drawn is None:
            continue
        ref, sets = stress.part.ref, _sets(stress, drawn)
        if stress.of == "temperature":
            yield judge.at_least(
                stress.key,
                stress.strictest,
                "{ref} stays {value} below its rated temperature; derating rules ask {sets}.",
                label="derating",
                ref=ref,
                sets=sets,
            )
        else:
            yield judge.at_most(
                stress.key,
                stress.strictest,
                "{ref} uses {value} of its rated {of}; derating rules allow {sets}.",
                label="derating",
                ref=ref,
                sets=sets,
                of=stress.of,
            )


def _of_port(judge: Judge, stress: RuledStress) -> Finding:
    """The connector of a port is rated by its standard for what may be drawn there: it may be used up."""
    return judge.at_most(
        stress.key,
        1.0,
        "{ref} uses {value} of its rated current; the connector of a port is rated by its standard, not derated.",
        label="rating",
        source=RATING,
        ref=stress.part.ref,
    )


def _sets(stress: RuledStress, drawn: float) -> str:
    """`80 % (RIAC, benign), 90 % (IPC-9592, from memory): short of both`."""
    told = ", ".join(f"{_limit(stress, one)} ({one.name}{_mark(one)})" for one in stress.allowed)
    short = [one for one in stress.allowed if _short(stress, one, drawn)]
    if not short:
        return told
    if len(short) == len(stress.allowed):
        return f"{told}: short of {'it' if len(short) == 1 else 'all'}"
    return f"{told}: short of {', '.join(one.name for one in short)}"


def _short(stress: RuledStress, one: Allowed, drawn: float) -> bool:
    return drawn < one.limit if stress.of == "temperature" else drawn > one.limit


def _limit(stress: RuledStress, one: Allowed) -> str:
    return f"{one.limit:g} K" if stress.of == "temperature" else f"{one.limit * 100:g} %"


def _mark(one: Allowed) -> str:
    return ", from memory" if one.citation.mark == "M" else ""
