"""A source that is not answered repeats its offers in a steady rhythm."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

_SHORTEST, _LONGEST = 0.100, 0.200


@rule(
    id="protocol.offer_period",
    claim="While nobody answers, the source repeats its offers every 100 to 200 ms.",
    source=cite("zephyr-usbc", "tTypeCSendSourceCap", "S2"),
)
def offer_period(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "offer_period"):
        yield judge.at_least(
            fact.key,
            _SHORTEST,
            "The shortest time between unanswered offers in the recording {name} is {value}; {limit} is to pass.",
            name=name,
        )
    for name, fact in from_captures(judge, "longest_offer_period"):
        yield judge.at_most(
            fact.key,
            _LONGEST,
            "The longest time between unanswered offers in the recording {name} is {value}; {limit} is allowed.",
            name=name,
        )
