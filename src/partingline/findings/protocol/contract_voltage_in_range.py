"""At every load the voltage at the port stays within 5 % of the contract's."""

from collections import defaultdict
from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.offered import fixed, usb_c_ports
from partingline.findings.rule import rule
from partingline.model import Fact, Finding, Key, Number, Port
from partingline.sources import cite

_ONE = "At a contract of {offer} the voltage of {port} is {value}; {low} to {high} is allowed."
_FURTHEST = (
    "Of {count} readings at a contract of {offer}, the one furthest off at {port} is {value}; "
    "{low} to {high} is allowed."
)


@rule(
    id="protocol.contract_voltage_in_range",
    claim="The voltage at a USB-C port stays within 5 % of the contract's, at light and at full load.",
    source=cite("microchip-psf", "vSrcNew, 0.95 to 1.05 of the object's voltage", "S2"),
)
def contract_voltage_in_range(judge: Judge) -> Iterator[Finding]:
    for port in usb_c_ports(judge):
        by_offer: dict[float, list[Fact]] = defaultdict(list)
        for fact in judge.book.find("port_voltage", port.subject):
            offer = fact.key.condition("offer")
            numeric = isinstance(fact.preferred.value, Number)
            if numeric and fact.key.subject == port.subject and isinstance(offer, float):
                by_offer[offer].append(fact)
        for contract, facts in sorted(by_offer.items()):
            furthest = max(facts, key=lambda fact: abs(fact.value - fact.key.number("offer")))
            yield judge.between(
                furthest.key,
                0.95 * contract,
                1.05 * contract,
                _FURTHEST if len(facts) > 1 else _ONE,
                label="±5 %",
                count=len(facts),
                offer=(contract, "port_voltage"),
                port=port.id,
            )
        if not by_offer and port.offers:
            yield _unread(judge, port)


def _unread(judge: Judge, port: Port) -> Finding:
    highest = max(fixed(port.offers), default=5.0)
    return judge.lacks(
        "The voltage of {port} under a contract was not measured.",
        subject=port.subject,
        missing=[Key.of(port.subject, "port_voltage", offer=highest, load=1.0)],
        next_step=f"Measure the voltage at {port.id} at each contract, without load and at full load.",
        port=port.id,
    )
