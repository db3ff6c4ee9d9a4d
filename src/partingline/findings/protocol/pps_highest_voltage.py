"""A programmable supply reaches the highest voltage of its port's power class."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.offered import offering_ports, rating
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources.source_power import required_programmable, source_power_citation


@rule(
    id="protocol.pps_highest_voltage",
    claim="A programmable supply reaches the highest voltage that the power rating of its port asks for.",
    source=source_power_citation("programmable"),
)
def pps_highest_voltage(judge: Judge) -> Iterator[Finding]:
    for port, seen in offering_ports(judge):
        offers = [offer for offer in seen.offers if offer.kind == "pps"]
        rated = rating(judge, port)
        if not offers or rated is None or not 0 < rated.power <= 240:
            continue
        asked = required_programmable(rated.power, five_amp_cable=True).voltage
        highest = max(offer.voltage for offer in offers)
        yield judge.decided(
            highest >= asked - 0.05,
            "The programmable supply of {port} reaches {highest}; a rating of {power} asks for {asked}.",
            subject=port.subject,
            used=[Key.of(port.subject, "pps_current", offer=highest)],
            port=port.id,
            highest=(highest, "pps_max_voltage"),
            power=(rated.power, "output_power"),
            asked=(asked, "pps_max_voltage"),
        )
