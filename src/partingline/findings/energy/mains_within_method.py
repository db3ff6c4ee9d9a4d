"""The mains stood within 1 % of the method's voltage while the efficiency was measured."""

from collections import defaultdict
from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Fact, Finding, Number
from partingline.sources import cite

_METHOD = (115.0, 230.0)


@rule(
    id="energy.mains_within_method",
    claim="The mains stood within 1 % of 115 V or 230 V while the efficiency was measured.",
    source=cite("us-10cfr430-appz", "supply voltage ±1 %", "S"),
)
def mains_within_method(judge: Judge) -> Iterator[Finding]:
    by_mains: dict[float, list[Fact]] = defaultdict(list)
    for fact in judge.book.find("input_voltage", "port:"):
        mains = fact.key.condition("mains")
        if mains in _METHOD and isinstance(mains, float) and isinstance(fact.preferred.value, Number):
            by_mains[mains].append(fact)
    for nominal, facts in sorted(by_mains.items()):
        worst = max(facts, key=lambda fact: abs(fact.value - fact.key.number("mains")))
        yield judge.between(
            worst.key,
            0.99 * nominal,
            1.01 * nominal,
            "Of {count} readings at {mains} mains the one furthest off is {value}; the method allows {low} to {high}.",
            label="±1 %",
            count=len(facts),
            mains=(nominal, "input_voltage"),
        )
