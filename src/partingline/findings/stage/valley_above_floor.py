"""Whether the bulk voltage stays above what the converter runs from, at the lowest mains voltage."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key, Route
from partingline.sources import cite

ASSUMED = cite("common-practice", "the lowest bulk voltage is assumed", "P")


@rule(
    id="stage.valley_above_floor",
    claim="The valley of the bulk voltage at the lowest mains voltage is above what the converter runs from.",
    source=cite("algebra", "exact cycle of the bridge and bulk capacitor", "C"),
    mains=True,
)
def valley_above_floor(judge: Judge) -> Iterator[Finding]:
    """Indicative where the lowest bulk voltage is assumed rather than measured or read."""
    if not judge.unit.having("bulk_capacitor"):
        return
    valley = at_lowest(judge.book, "valley_voltage", "stage:input")
    floor = Key.of("stage:input", "lowest_bulk_voltage")
    known = judge.book.fact(floor)
    yield judge.at_least(
        valley,
        floor,
        "At full load and {mains} mains the bulk voltage falls to {value}; the converter runs from {limit}.",
        label="lowest bulk voltage",
        source=ASSUMED if known and known.preferred.route is Route.ASSUMED else None,
        next_step="Measure the lowest bulk voltage at which the output still holds at full load.",
        mains=said_at(valley),
    )
