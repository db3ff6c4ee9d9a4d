"""Whether the capacitor across the line is rated for the mains voltage on the label."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import known_of, label_mains
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

LABEL = Key.of("unit", "rated_input_voltage")


@rule(
    id="parts.x_capacitor_voltage",
    claim="The rated AC voltage of the X capacitor is not below the highest rated mains voltage.",
    source=cite("maker-rating", "rated AC voltage of the capacitor", "S"),
)
def x_capacitor_voltage(judge: Judge) -> Iterator[Finding]:
    """One finding for each X capacitor."""
    for part in judge.unit.having("x_capacitor"):
        yield judge.at_least(
            known_of(judge.book, part.subject, "rated_ac_voltage", "rated_voltage"),
            label_mains(judge.book),
            "X capacitor {ref} is rated {value} AC; the label allows mains of {mains}.",
            label="label",
            next_step="Read the AC voltage on the capacitor, and the input line of the label.",
            ref=part.ref,
            mains=LABEL,
        )
