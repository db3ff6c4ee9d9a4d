"""Whether the feedback isolator is proof for reinforced insulation."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

REINFORCED = 3000.0


@rule(
    id="parts.feedback_isolator_voltage",
    claim="The isolation voltage of the feedback isolator is at least 3 kV RMS.",
    source=cite("iec-60950-1", "5.2: reinforced insulation at mains voltage, 3 kV AC", "M"),
)
def feedback_isolator_voltage(judge: Judge) -> Iterator[Finding]:
    """One finding for each isolator."""
    for part in judge.unit.having("feedback_isolator"):
        yield judge.at_least(
            Key.of(part.subject, "isolation_voltage"),
            REINFORCED,
            "Feedback isolator {ref} is proof to {value}; reinforced insulation is tested with {limit}.",
            label="test voltage",
            next_step="Read the isolation voltage in the data sheet of the isolator.",
            ref=part.ref,
        )
