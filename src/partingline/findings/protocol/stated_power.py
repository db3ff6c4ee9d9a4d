"""The power that a port states of itself is the one that it is rated for."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.offered import PRECISION, rating, usb_c_ports
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

_WHOLE_WATT = 1.0
"""The messages hold whole watts, rounded down."""


@rule(
    id="protocol.stated_power",
    claim="The power that a port states in Source_Info or its extended capabilities is its power rating.",
    source=cite("chromiumos-ec", "Source_Info: whole watts, rounded down", "S2"),
)
def stated_power(judge: Judge) -> Iterator[Finding]:
    for port in usb_c_ports(judge):
        rated = rating(judge, port)
        if rated is None:
            continue
        for fact in judge.book.find("stated_power", port.subject):
            if fact.key.subject == port.subject:
                yield judge.between(
                    fact.key,
                    rated.power - _WHOLE_WATT - PRECISION,
                    rated.power + PRECISION,
                    "{port} states {value} in {message}; by {teller} it is rated {rated}.",
                    port=port.id,
                    message=str(fact.key.condition("message")),
                    teller=rated.teller,
                    rated=(rated.power, "output_power"),
                )
