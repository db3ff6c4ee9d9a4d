"""The label's input range covers the mains voltages and frequencies of the world."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Fact, Finding, Interval, Key, Number
from partingline.sources import cite

_MAINS = (100.0, 240.0)
_FREQUENCY = (50.0, 60.0)


@rule(
    id="claims.input_rating_covers_mains",
    claim="The label's input rating covers 100 to 240 V at 50 and 60 Hz.",
    source=cite("common-practice", "nominal mains of the world", "P"),
    mains=True,
)
def input_rating_covers_mains(judge: Judge) -> Iterator[Finding]:
    for quantity, (low, high), what in (
        ("rated_input_voltage", _MAINS, "mains voltages"),
        ("rated_input_frequency", _FREQUENCY, "mains frequencies"),
    ):
        fact = judge.fact("unit", quantity)
        rated = _range(fact)
        if fact is None or rated is None:
            if quantity == "rated_input_voltage" and _has_label(judge):
                yield judge.lacks(
                    "The label's input range was not read.",
                    subject="unit",
                    missing=[Key.of("unit", quantity)],
                    next_step="Read the line of the label that begins with INPUT.",
                )
            continue
        if quantity == "rated_input_voltage" and rated.high < low:
            return  # fed by a low voltage, as a dock
        yield judge.decided(
            rated.low <= low and rated.high >= high,
            "The label's input range is {value}; the {what} of the world are {low} to {high}.",
            subject="unit",
            used=[fact.key],
            value=fact.key,
            what=what,
            low=(low, quantity),
            high=(high, quantity),
        )


def _range(fact: Fact | None) -> Interval | None:
    value = fact.preferred.value if fact else None
    if isinstance(value, Number):
        return Interval(value.value, value.value)
    return value if isinstance(value, Interval) else None


def _has_label(judge: Judge) -> bool:
    return any(fact.preferred.route.value == "label" for fact in judge.book.facts())
