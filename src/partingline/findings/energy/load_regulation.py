"""The voltage at the port hardly moves between light and full load."""

from collections import defaultdict
from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Fact, Finding, Number
from partingline.sources import cite

_USUAL = 0.05


@rule(
    id="energy.load_regulation",
    claim="From light to full load the voltage at the port moves by no more than 5 %.",
    source=cite("common-practice", "5 % of the voltage at light load", "P"),
)
def load_regulation(judge: Judge) -> Iterator[Finding]:
    by_port: dict[str, list[Fact]] = defaultdict(list)
    for fact in judge.book.find("load_regulation", "port:"):
        if isinstance(fact.preferred.value, Number):
            by_port[fact.key.subject].append(fact)
    for subject, facts in by_port.items():
        worst = max(facts, key=lambda fact: abs(fact.value))
        offer = worst.key.condition("offer")
        yield judge.between(
            worst.key,
            -_USUAL,
            _USUAL,
            "Of {count} load sweeps at {port}, the voltage moves most {where}: by {value}; {high} is usual.",
            label="5 %",
            count=len(facts),
            port=subject.partition(":")[2],
            where=f"at {offer:g}\u202fV" if isinstance(offer, float) else "in one",
        )
