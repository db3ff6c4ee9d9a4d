"""Whether the varistor is rated for the mains voltage on the label."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import label_mains
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

LABEL = Key.of("unit", "rated_input_voltage")


@rule(
    id="parts.varistor_voltage",
    claim="The rated AC voltage of the varistor is not below the highest rated mains voltage.",
    source=cite("maker-rating", "highest continuous AC voltage of the varistor", "S"),
    mains=True,
)
def varistor_voltage(judge: Judge) -> Iterator[Finding]:
    """One finding for each varistor."""
    for part in judge.unit.having("varistor"):
        yield judge.at_least(
            Key.of(part.subject, "rated_ac_voltage"),
            label_mains(judge.book),
            "Varistor {ref} is rated {value} AC; the label allows mains of {mains}.",
            label="label",
            next_step="Read the voltage in the varistor's marking, and the input line of the label.",
            ref=part.ref,
            mains=LABEL,
        )
