"""Whether the output switch blocks the highest voltage that its port offers."""

import re
from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import highest_offer
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.output_switch_voltage",
    claim="The rated voltage of the output switch is not below the highest voltage offered.",
    source=cite("maker-rating", "drain-source voltage of the switch", "S"),
)
def output_switch_voltage(judge: Judge) -> Iterator[Finding]:
    """One finding for each discrete switch whose port is known: the only one, or the one that its note names."""
    for part in judge.unit.having("output_switch"):
        ports = [port.id for port in judge.unit.ports]
        if len(ports) > 1:
            ports = [port for port in ports if re.search(rf"\b{re.escape(port)}\b", part.note)]
        voltage = highest_offer(judge.unit, judge.book, ports)
        if part.kind == "transistor" and voltage is not None:
            yield judge.at_least(
                Key.of(part.subject, "rated_voltage"),
                voltage,
                "Output switch {ref} is rated {value}; the highest voltage of {ports} is {limit}.",
                label="highest offer",
                next_step="Read the rated voltage in the data sheet of the switch.",
                ref=part.ref,
                ports=" and ".join(ports),
            )
