"""Whether the fuse is rated for the mains voltage on the label."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import known_of, label_mains
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

LABEL = Key.of("unit", "rated_input_voltage")


@rule(
    id="parts.fuse_voltage",
    claim="The rated voltage of the fuse is not below the highest rated mains voltage.",
    source=cite("maker-rating", "rated voltage of the fuse", "S"),
    mains=True,
)
def fuse_voltage(judge: Judge) -> Iterator[Finding]:
    """One finding for each fuse; a fusible resistor is not rated in this way."""
    for part in judge.unit.having("fuse"):
        if part.kind != "fusible resistor":
            yield judge.at_least(
                known_of(judge.book, part.subject, "rated_ac_voltage", "rated_voltage"),
                label_mains(judge.book),
                "Fuse {ref} is rated {value}; the label allows mains of {mains}.",
                label="label",
                next_step="Read the rated voltage on the fuse, and the input line of the label.",
                ref=part.ref,
                mains=LABEL,
            )
