"""Whether the primary switch stands its peak voltage at the highest mains voltage."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import said_at, worst
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="stage.switch_voltage_margin",
    claim="The rated voltage of the primary switch covers its peak voltage at the highest mains voltage.",
    source=cite("maker-rating", "drain-source voltage of the switch", "S"),
)
def switch_voltage_margin(judge: Judge) -> Iterator[Finding]:
    """One finding for each switch; at equal mains a measured peak stands before a computed one."""
    for part in judge.unit.having("primary_switch"):
        peak = worst(judge.book, "switch_voltage", part.subject, "stage:primary")
        yield judge.at_least(
            Key.of(part.subject, "rated_voltage"),
            peak,
            "Primary switch {ref} is rated {value}; at {mains} mains its peak voltage is {limit}.",
            label="peak voltage",
            next_step="Read the rated voltage in the data sheet; measure the peak at the drain.",
            ref=part.ref,
            mains=said_at(peak),
        )
