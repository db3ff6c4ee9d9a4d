"""Whether the fuse carries the line current where it is highest: full load at the lowest mains voltage."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.fuse_current",
    claim="The rated current of the fuse is not below the line current at the lowest mains voltage.",
    source=cite("maker-rating", "rated current of the fuse", "S"),
    mains=True,
)
def fuse_current(judge: Judge) -> Iterator[Finding]:
    """One finding for each fuse; a fusible resistor has no rated current."""
    line = at_lowest(judge.book, "line_current", "stage:input")
    for part in judge.unit.having("fuse"):
        if part.kind != "fusible resistor":
            yield judge.at_least(
                Key.of(part.subject, "rated_current"),
                line,
                "Fuse {ref} is rated {value}; at full load and {mains} mains the line current is {limit}.",
                label="line current",
                next_step="Read the rated current on the fuse, and log a load sweep for the efficiency.",
                ref=part.ref,
                mains=said_at(line),
            )
