"""Every supply that the label names can be had on the wire."""

from collections.abc import Iterator

from partingline.findings.claimed import claimed, said
from partingline.findings.judge import Judge
from partingline.findings.offered import STEP, fixed, is_usb_c, offer_list, offers_key, written
from partingline.findings.rule import rule
from partingline.model import Fact, Finding, Key, OfferList, Port, Route
from partingline.sources import cite


@rule(
    id="claims.label_offers_are_offered",
    claim="A port offers every voltage and current that the label names for it.",
    source=cite("seller-claim", "the label", "S"),
)
def label_offers_are_offered(judge: Judge) -> Iterator[Finding]:
    for port in judge.unit.ports:
        named = sorted(_named(judge, port), key=lambda fact: (fact.key.quantity, fact.key.number("offer")))
        if not named:
            continue
        seen = offer_list(port)
        if seen is not None:
            yield _judge(judge, port, seen, named)
        elif is_usb_c(port):
            yield judge.lacks(
                "The label names {count} supplies of {port}; what the port offers was not read.",
                subject=port.subject,
                missing=[offers_key(port)],
                next_step=f"Read the offers of {port.id} from a capture or a tester, through a 5 A cable.",
                port=port.id,
                count=len(named),
            )


def _named(judge: Judge, port: Port) -> Iterator[Fact]:
    for quantity in ("available_current", "pps_current"):
        for fact, _ in claimed(judge, Route.LABEL, quantity):
            own = fact.key.subject == port.subject and set(dict(fact.key.at)) == {"offer"}
            if own and said(fact, Route.LABEL) is not None:
                yield fact


def _judge(judge: Judge, port: Port, seen: OfferList, named: list[Fact]) -> Finding:
    got = [(fact, _offered(judge, fact, seen)) for fact in named]
    short = [(fact, current) for fact, current in got if current < _asked(fact, seen) - STEP]
    return judge.decided(
        not short,
        "The label names {asked} for {port}; {got}." if short else "{port} offers all that its label names: {asked}.",
        subject=port.subject,
        used=[fact.key for fact, _ in short or got],
        port=port.id,
        asked=", ".join(_text(fact, said(fact, Route.LABEL) or 0.0) for fact, _ in short or got),
        got=", ".join(_got(fact, current) for fact, current in short),
    )


def _offered(judge: Judge, fact: Fact, seen: OfferList) -> float:
    voltage = fact.key.number("offer")
    if fact.key.quantity == "available_current":
        return fixed(seen.offers).get(voltage, 0.0)
    low = said(judge.book.fact(Key.of(fact.key.subject, "pps_min_voltage", offer=voltage)), Route.LABEL)
    return max(
        (
            offer.current or 0.0
            for offer in seen.offers
            if offer.kind == "pps" and offer.voltage >= voltage - 0.05 and (offer.low or 0.0) <= (low or 99) + 0.05
        ),
        default=0.0,
    )


def _asked(fact: Fact, seen: OfferList) -> float:
    """A 3 A cable hides what lies above 3 A."""
    label = said(fact, Route.LABEL) or 0.0
    return min(label, 3.0) if seen.cable_current is not None and seen.cable_current < 5 else label


def _text(fact: Fact, current: float) -> str:
    programmable = "a programmable supply up to " if fact.key.quantity == "pps_current" else ""
    return programmable + written(fact.key.number("offer"), current)


def _got(fact: Fact, current: float) -> str:
    return f"{_text(fact, current)} is offered" if current else f"no {_text(fact, 0.0).split(' at ')[0]} is offered"
