"""How much of its rated voltage the bulk capacitor uses at the highest mains, beside a derating rule."""

from collections.abc import Iterator

from partingline.calc.ratings import derating_share
from partingline.findings.judge import Judge
from partingline.findings.pick import at_highest, estimate, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources.tables import derating_citation


@rule(
    id="parts.bulk_voltage_derating",
    claim="The crest of the highest mains voltage stays within the derated voltage of the bulk capacitor.",
    source=derating_citation("ipc-9592"),
)
def bulk_voltage_derating(judge: Judge) -> Iterator[Finding]:
    """Silent where rating or crest is unknown: `bulk_voltage_margin` says so."""
    crest = at_highest(judge.book, "peak_bulk_voltage", "stage:input")
    drawn = estimate(judge.book, crest)
    for part in judge.unit.having("bulk_capacitor"):
        rated = Key.of(part.subject, "rated_voltage")
        rating = estimate(judge.book, rated)
        if drawn is None or rating is None:
            continue
        stress = "electrolytic-voltage-above-250-v" if rating > 250 else "electrolytic-voltage"
        share = derating_share(rule="ipc-9592", stress=stress)
        yield judge.at_least(
            rated,
            drawn / share,
            "At {mains} mains bulk capacitor {ref} sees {crest}, which is {used} of its rated {value}; "
            "the derating rule allows {share}.",
            label=f"{share * 100:.0f} % of the rating",
            ref=part.ref,
            mains=said_at(crest),
            crest=crest,
            used=(drawn / rating, "voltage_ratio"),
            share=(share, "voltage_ratio"),
        )
