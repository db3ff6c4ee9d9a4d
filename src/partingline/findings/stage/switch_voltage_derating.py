"""How much of its rated voltage the primary switch uses at the highest mains, beside a derating rule."""

from collections.abc import Iterator

from partingline.calc.ratings import derating_share
from partingline.findings.judge import Judge
from partingline.findings.pick import estimate, said_at, worst
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources.tables import derating_citation


@rule(
    id="stage.switch_voltage_derating",
    claim="The peak voltage of the primary switch stays within its derated voltage.",
    source=derating_citation("ipc-9592"),
)
def switch_voltage_derating(judge: Judge) -> Iterator[Finding]:
    """Silent where rating or peak is unknown: `switch_voltage_margin` says so."""
    share = derating_share(rule="ipc-9592", stress="switch-voltage")
    for part in judge.unit.having("primary_switch"):
        peak = worst(judge.book, "switch_voltage", part.subject, "stage:primary")
        rated = estimate(judge.book, rating := Key.of(part.subject, "rated_voltage"))
        drawn = estimate(judge.book, peak)
        if rated is None or drawn is None:
            continue
        yield judge.at_most(
            peak,
            share * rated,
            "At {mains} mains primary switch {ref} sees {value}, which is {used} of its rated {rating}; "
            "the derating rule allows {share}.",
            label=f"{share * 100:.0f} % of the rating",
            ref=part.ref,
            mains=said_at(peak),
            used=(drawn / rated, "voltage_ratio"),
            rating=rating,
            share=(share, "voltage_ratio"),
        )
