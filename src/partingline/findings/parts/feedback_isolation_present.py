"""Whether the part list names something that carries the feedback across the barrier."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="parts.feedback_isolation_present",
    claim="An optocoupler or isolator carries the feedback across the barrier.",
    source=cite("common-practice", mark="P"),
)
def feedback_isolation_present(judge: Judge) -> Iterator[Finding]:
    """Speaks where a transformer is listed. Supplies regulated on the primary side have no isolator."""
    isolators = judge.unit.having("feedback_isolator")
    for part in isolators:
        sentence = "{ref} carries the feedback across the barrier."
        yield judge.decided(True, sentence, subject=part.subject, ref=part.ref)
    if not isolators and judge.unit.having("transformer"):
        yield judge.decided(
            False,
            "No optocoupler or isolator is listed that carries the feedback across the barrier.",
            subject="barrier:main",
            next_step="Look for an isolator across the barrier; without one the primary side regulates.",
        )
