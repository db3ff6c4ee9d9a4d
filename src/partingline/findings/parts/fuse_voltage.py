"""Whether the fuse is rated for the mains voltage on the label."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import known_of
from partingline.findings.rule import rule
from partingline.model import Finding, Interval, Key
from partingline.sources import cite


@rule(
    id="parts.fuse_voltage",
    claim="The rated voltage of the fuse is not below the highest rated mains voltage.",
    source=cite("maker-rating", "rated voltage of the fuse", "S"),
)
def fuse_voltage(judge: Judge) -> Iterator[Finding]:
    """One finding for each fuse; a fusible resistor is not rated in this way."""
    mains = judge.fact("unit", "rated_input_voltage")
    for part in judge.unit.having("fuse"):
        if part.kind == "fusible resistor":
            continue
        rated = known_of(judge.book, part.subject, "rated_ac_voltage", "rated_voltage")
        if mains is None or not isinstance(mains.preferred.value, Interval):
            yield judge.lacks(
                judge.rule.claim,
                subject=part.subject,
                missing=[Key.of("unit", "rated_input_voltage")],
                next_step="Copy the input line of the label into unit.toml.",
            )
            continue
        yield judge.at_least(
            rated,
            mains.interval.high,
            "Fuse {ref} is rated {value}; the label allows mains up to {limit}.",
            label="label",
            next_step="Read the rated voltage on the fuse.",
            ref=part.ref,
        )
