"""Whether the output rectifier stands its peak voltage at the highest mains voltage."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import said_at, worst
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="stage.rectifier_voltage_margin",
    claim="The rated voltage of the output rectifier covers its peak voltage at the highest mains voltage.",
    source=cite("maker-rating", "blocking voltage of the rectifier", "S"),
)
def rectifier_voltage_margin(judge: Judge) -> Iterator[Finding]:
    """One finding for each rectifier; at equal mains a measured peak stands before a computed one."""
    for part in judge.unit.having("rectifier"):
        peak = worst(judge.book, "rectifier_voltage", part.subject, "stage:secondary")
        yield judge.at_least(
            Key.of(part.subject, "rated_voltage"),
            peak,
            "Output rectifier {ref} is rated {value}; at {mains} mains its peak voltage is {limit}.",
            label="peak voltage",
            next_step="Read the rated voltage in the data sheet; measure the peak across the rectifier.",
            ref=part.ref,
            mains=said_at(peak),
        )
