"""Whether the inrush limiter carries the line current that flows through it once it is hot."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.inrush_limiter_current",
    claim="The rated current of the inrush limiter is not below the line current at the lowest mains voltage.",
    source=cite("maker-rating", "highest steady current of the thermistor", "S"),
    mains=True,
)
def inrush_limiter_current(judge: Judge) -> Iterator[Finding]:
    """One finding for each thermistor; a resistor is rated in watts."""
    line = at_lowest(judge.book, "line_current", "stage:input")
    for part in judge.unit.having("inrush_limiter"):
        if part.kind == "thermistor":
            yield judge.at_least(
                Key.of(part.subject, "rated_current"),
                line,
                "Thermistor {ref} is rated {value}; at full load and {mains} mains the line current is {limit}.",
                label="line current",
                next_step="Read the highest steady current in the data sheet of the thermistor.",
                ref=part.ref,
                mains=said_at(line),
            )
