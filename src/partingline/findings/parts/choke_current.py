"""Whether the chokes of the input stage carry the line current."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.choke_current",
    claim="The rated current of each input choke is not below the line current at the lowest mains voltage.",
    source=cite("maker-rating", "rated current of the choke", "S"),
    mains=True,
)
def choke_current(judge: Judge) -> Iterator[Finding]:
    """One finding for each choke that has a rating: many carry no marking to find one by."""
    line = at_lowest(judge.book, "line_current", "stage:input")
    for part in judge.unit.having("common_mode_choke") + judge.unit.having("differential_choke"):
        rated = Key.of(part.subject, "rated_current")
        if judge.book.fact(rated) is not None:
            yield judge.at_least(
                rated,
                line,
                "Choke {ref} is rated {value}; at full load and {mains} mains the line current is {limit}.",
                label="line current",
                next_step="Log a load sweep for the efficiency at full load.",
                ref=part.ref,
                mains=said_at(line),
            )
