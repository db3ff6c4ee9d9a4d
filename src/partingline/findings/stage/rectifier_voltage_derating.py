"""How much of its rated voltage the output rectifier uses at the highest mains, beside a derating rule."""

from collections.abc import Iterator

from partingline.calc.ratings import derating_share
from partingline.findings.judge import Judge
from partingline.findings.pick import estimate, said_at, worst
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite
from partingline.sources.tables import derating_citation

DIODE = cite("riac-derating", "benign column; a guide, no requirement", "P")


@rule(
    id="stage.rectifier_voltage_derating",
    claim="The peak voltage of the output rectifier stays within its derated voltage.",
    source=derating_citation("ipc-9592"),
)
def rectifier_voltage_derating(judge: Judge) -> Iterator[Finding]:
    """Transistors by one guide, diodes by another. `rectifier_voltage_margin` says what is missing."""
    for part in judge.unit.having("rectifier"):
        peak = worst(judge.book, "rectifier_voltage", part.subject, "stage:secondary")
        rated = estimate(judge.book, rating := Key.of(part.subject, "rated_voltage"))
        drawn = estimate(judge.book, peak)
        if rated is None or drawn is None:
            continue
        diode = part.kind == "diode"
        by, stress = ("riac-benign", "diode-voltage") if diode else ("ipc-9592", "switch-voltage")
        share = derating_share(rule=by, stress=stress)
        yield judge.at_most(
            peak,
            share * rated,
            "At {mains} mains output rectifier {ref} sees {value}, which is {used} of its rated {rating}; "
            "the derating rule allows {share}.",
            label=f"{share * 100:.0f} % of the rating",
            source=DIODE if diode else None,
            ref=part.ref,
            mains=said_at(peak),
            used=(drawn / rated, "voltage_ratio"),
            rating=rating,
            share=(share, "voltage_ratio"),
        )
