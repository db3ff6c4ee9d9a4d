"""Bulk capacitance per watt of input power, beside the design rule of the makers' application notes."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, said_at
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

WIDE_RANGE, EUROPEAN_RANGE = 2e-6, 1e-6
EUROPEAN_FROM = 180.0


@rule(
    id="stage.bulk_capacitance_per_watt",
    claim="The bulk capacitance is at least 2 µF per watt of input power (1 µF for 230 V mains alone).",
    source=cite("fairchild-an-6094", "bulk capacitor; a design rule, no requirement", "P"),
    mains=True,
)
def bulk_capacitance_per_watt(judge: Judge) -> Iterator[Finding]:
    """One finding for an input stage with a bulk capacitor, at the lowest mains voltage; none behind a boost stage,
    which keeps the bulk voltage up by itself."""
    if not judge.unit.having("bulk_capacitor") or judge.unit.having("pfc_inductor"):
        return
    key = at_lowest(judge.book, "bulk_per_watt", "stage:input")
    mains = key.condition("mains")
    european = isinstance(mains, float) and mains >= EUROPEAN_FROM
    yield judge.at_least(
        key,
        EUROPEAN_RANGE if european else WIDE_RANGE,
        "The bulk capacitance is {value} of input power; the design rule is {limit} for units that run from {mains}.",
        label="design rule",
        next_step="Read or measure the bulk capacitors, and log a load sweep for the input power.",
        mains=said_at(key),
    )
