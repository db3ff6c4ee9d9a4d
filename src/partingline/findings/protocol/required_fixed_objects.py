"""A USB-C source offers every fixed voltage and current that its power rating asks for."""

from collections.abc import Iterator
from typing import Any

from partingline.findings.judge import Judge
from partingline.findings.offered import (
    OWN,
    PRECISION,
    STEP,
    fixed,
    offer_list,
    offers_key,
    rating,
    usb_c_ports,
    written,
)
from partingline.findings.rule import rule
from partingline.model import Finding, Key, OfferList, Port
from partingline.sources.source_power import Required, required_fixed, source_power_citation


@rule(
    id="protocol.required_fixed_objects",
    claim="A USB-C port offers every fixed voltage and current that its power rating asks for.",
    source=source_power_citation("fixed"),
)
def required_fixed_objects(judge: Judge) -> Iterator[Finding]:
    for port in usb_c_ports(judge):
        seen = offer_list(port)
        if seen is not None:
            yield _judge(judge, port, seen)
        elif judge.fact(port.subject, "output_power"):
            yield judge.lacks(
                "What {port} offers was not read, so that its power rating cannot be held against it.",
                subject=port.subject,
                missing=[offers_key(port)],
                next_step=f"Read the offers of {port.id} from a capture or a tester, through a 5 A cable.",
                port=port.id,
            )


def _judge(judge: Judge, port: Port, seen: OfferList) -> Finding:
    rated = rating(judge, port)
    if rated is None or not 0 < rated.power <= 240:
        return judge.lacks(
            "The power rating of {port} is not known, so that its offers cannot be held against it.",
            subject=port.subject,
            missing=[Key.of(port.subject, "output_power")],
            next_step=f"Read the power of {port.id} from the label or the listing.",
            port=port.id,
        )
    five_amp = seen.cable_current is None or seen.cable_current >= 5
    have = fixed(seen.offers)
    asked = required_fixed(rated.power, five_amp_cable=five_amp)
    lenient = required_fixed(max(rated.power - PRECISION, PRECISION), five_amp_cable=five_amp)
    least = {need.voltage: need.current - STEP for need in lenient}
    short = [need for need in asked if have.get(need.voltage, 0.0) < least.get(need.voltage, 0.0)]
    used = [Key.of(port.subject, "available_current", offer=need.voltage) for need in short or asked]
    words: dict[str, Any] = {
        "port": port.id,
        "power": (rated.power, "output_power"),
        "teller": rated.teller,
        "asked": _list(short or asked),
        "got": _got(short, have),
    }
    rates = "{port} offers up to {power}" if rated.teller == OWN else "{port} is rated {power} by {teller}"
    head = rates + ", which asks for {asked}; "
    if short and seen.cable_current is None and all(have.get(need.voltage, 0.0) >= 3 for need in short):
        return judge.undecided(
            head + "it offers {got}, which is right only if the cable is no 5 A cable.",
            subject=port.subject,
            used=used,
            next_step=f"Read the offers of {port.id} again with a marked 5 A cable, and note the cable.",
            **words,
        )
    return judge.decided(
        not short, head + ("it offers {got}." if short else "it offers all of this."),
        subject=port.subject, used=used, **words,
    )  # fmt: skip


def _list(needs: tuple[Required, ...] | list[Required]) -> str:
    return ", ".join(written(need.voltage, need.current) for need in needs)


def _got(short: list[Required], have: dict[float, float]) -> str:
    return ", ".join(
        written(need.voltage, have[need.voltage]) if need.voltage in have else f"no {need.voltage:g}\u202fV"
        for need in short
    )
