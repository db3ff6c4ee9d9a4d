"""The computed peak current of the primary switch beside its rating."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, estimate, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="stage.switch_current_rating",
    claim="The peak current of the primary switch stays within its rated current.",
    source=cite("maker-rating", mark="S"),
)
def switch_current_rating(judge: Judge) -> Iterator[Finding]:
    """One finding a switch with a rated current, at the lowest mains; parallel parts share the current."""
    for part in judge.unit.having("primary_switch"):
        rated = estimate(judge.book, rating := Key.of(part.subject, "rated_current"))
        if rated is None:
            continue
        peak = at_lowest(judge.book, "peak_current", "stage:primary")
        yield judge.at_most(
            peak,
            rated * part.count,
            "At full load and {mains} mains the primary current reaches {value}; {ref} is rated {rating}{each}.",
            label="rating",
            next_step="Measure turns ratio and inductance of the transformer.",
            ref=part.ref,
            mains=said_at(peak),
            rating=rating,
            each=f" each, {part.count} in parallel" if part.count > 1 else "",
        )
