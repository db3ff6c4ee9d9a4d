"""A power bank gives the rated capacity that is printed for its output."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Fact, Finding, Key, Number
from partingline.sources import cite

TEST_V = 5.0
"""Rated capacities at the output are printed for 5 V (common practice); another voltage is not held against them."""


@rule(
    id="claims.capacity_is_delivered",
    claim="A full power bank gives the rated capacity that is printed for its output.",
    source=cite("seller-claim", "the label", "S"),
)
def capacity_is_delivered(judge: Judge) -> Iterator[Finding]:
    printed = Key.of("unit", "rated_output_capacity")
    if judge.book.fact(printed) is None:
        return
    measured = [fact for fact in judge.book.find("delivered_charge", "port:") if _at_test_voltage(fact)]
    best = max(measured, key=lambda fact: fact.value, default=None)
    if best is None:
        yield judge.lacks(
            "The label prints a rated capacity for the output; what a port gives until it cuts off was not measured.",
            subject="unit",
            missing=[Key.of(port.subject, "delivered_charge", offer=TEST_V) for port in judge.unit.ports[:1]],
            next_step="Charge it fully, load a port at 5\u202fV with the current printed beside the capacity "
            "until it cuts off, and log voltage and current.",
        )
        return
    yield judge.at_least(
        best.key,
        printed,
        "From full to cut-off {port} gives {value}; the label prints {limit} for the output.",
        label="label",
        next_step="Repeat with a meter of smaller uncertainty for the current.",
        port=best.key.subject.partition(":")[2],
    )


def _at_test_voltage(fact: Fact) -> bool:
    at = dict(fact.key.at)
    return at.get("offer", TEST_V) == TEST_V and "with" not in at and isinstance(fact.preferred.value, Number)
