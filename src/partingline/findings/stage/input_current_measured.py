"""Whether the measured input current keeps the label."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import estimate, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="stage.input_current_measured",
    claim="The measured input current does not exceed the label's.",
    source=cite("maker-rating", "input current on the label", "S"),
)
def input_current_measured(judge: Judge) -> Iterator[Finding]:
    """One finding, at the highest current read on any port; silent where none was read."""
    keys = judge.book.keys("input_current")
    read = {key: value for key in keys if (value := estimate(judge.book, key)) is not None}
    if not read:
        return
    highest = max(read, key=lambda key: read[key])
    yield judge.at_most(
        highest,
        Key.of("unit", "rated_input_current"),
        "The highest input current measured is {value}, at {mains} mains; the label states {limit}.",
        label="label",
        next_step="Copy the input line of the label into unit.toml.",
        mains=said_at(highest),
    )
