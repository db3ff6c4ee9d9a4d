"""Whether the output capacitors stand the highest voltage that any port offers."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import highest_offer
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.output_capacitor_voltage",
    claim="The rated voltage of the output capacitors is not below the highest voltage offered.",
    source=cite("maker-rating", "rated voltage of the capacitor", "S"),
)
def output_capacitor_voltage(judge: Judge) -> Iterator[Finding]:
    """One finding for each; of several ports, a capacitor behind a converter of its own is left out."""
    several = len(judge.unit.ports) > 1
    voltage = highest_offer(judge.unit, judge.book, [port.id for port in judge.unit.ports])
    for part in judge.unit.having("output_capacitor"):
        if several and part.stage == "output":
            continue
        if voltage is None:
            yield judge.lacks(
                judge.rule.claim,
                subject=part.subject,
                missing=[Key.of(port.subject, "available_current") for port in judge.unit.ports[:1]]
                or [Key.of("unit", "output_power")],
                next_step="Type the output lines of the label or the offers of each port into unit.toml.",
            )
            continue
        yield judge.at_least(
            Key.of(part.subject, "rated_voltage"),
            voltage,
            "Output capacitor {ref} is rated {value}; the highest voltage offered is {limit}.",
            label="highest offer",
            next_step="Read the rated voltage on the capacitor.",
            ref=part.ref,
        )
