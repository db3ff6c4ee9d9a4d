"""Whether the input current on the label covers what the unit draws at the lowest mains voltage."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="stage.input_current_rating",
    claim="The input current on the label covers the computed line current at the lowest mains voltage.",
    source=cite("iec-62368-1-2018", "B.2.5, input test", "M"),
    mains=True,
)
def input_current_rating(judge: Judge) -> Iterator[Finding]:
    """Speaks where the bulk capacitor is listed. Without mains impedance the current is on the high side."""
    if not judge.unit.having("bulk_capacitor"):
        return
    line = at_lowest(judge.book, "line_current", "stage:input")
    yield judge.at_least(
        Key.of("unit", "rated_input_current"),
        line,
        "The label states an input current of {value}; computed from the parts, the unit draws {limit} "
        "at full load and {mains} mains.",
        label="computed line current",
        next_step="Copy the input line of the label; measure the input current at low mains.",
        mains=said_at(line),
    )
