"""The share of the output power that the switch at the receptacle turns into heat."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import estimate, said_at
from partingline.findings.rule import rule
from partingline.model import Fact, Finding, Key, Number, Sense
from partingline.sources import cite

SHARE = 0.01


@rule(
    id="stage.output_switch_loss",
    claim="The output switch loses at most 1 % of the output power.",
    source=cite("common-practice", mark="P"),
)
def output_switch_loss(judge: Judge) -> Iterator[Finding]:
    """One finding for each port whose loss is known, at the offer where it is highest."""
    for port in judge.unit.ports:
        lost: dict[Key, float] = {}
        for key in judge.book.keys("switch_loss", port.subject):
            loss = estimate(judge.book, key)
            if key.subject == port.subject and loss is not None and key.condition("offer"):
                lost[key] = loss
        if lost:
            highest = max(lost, key=lambda key: lost[key])
            yield _judged(judge, port.id, highest, lost[highest])


def _judged(judge: Judge, port: str, key: Key, loss: float) -> Finding:
    voltage = key.number("offer")
    offered = judge.fact(key.subject, "available_current", offer=voltage)
    amperes = _promised(offered) if offered else 0.0
    if not amperes:
        return judge.lacks(
            judge.rule.claim,
            subject=key.subject,
            missing=[Key.of(key.subject, "available_current", offer=voltage)],
            next_step="Type the offers of the port into unit.toml.",
        )
    power = voltage * amperes
    return judge.at_most(
        key,
        SHARE * power,
        "The output switch of {port} loses {value} at {offer} and {current}, {share} of the output power; "
        "common practice keeps it within {limit}.",
        label="1 % of the output power",
        port=port,
        offer=said_at(key, "offer"),
        current=(amperes, "available_current"),
        share=(loss / power, "current_ratio"),
    )


def _promised(current: Fact) -> float:
    """The current that the port promises, rather than the one at which it trips."""
    told = (s.value.value for s in current.statements if s.sense is Sense.AT_LEAST and isinstance(s.value, Number))
    return next(told, 0.0)
