"""A programmable supply gives the current that the port's power rating asks for at the class voltage."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.offered import PRECISION, offering_ports, rating
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite
from partingline.sources.source_power import required_programmable


@rule(
    id="protocol.pps_current_for_rating",
    claim="The strongest programmable supply gives the current that the power rating of its port asks for.",
    source=cite("usb-pd-r3", "10.2, currents of the programmable supplies", "M"),
)
def pps_current_for_rating(judge: Judge) -> Iterator[Finding]:
    for port, seen in offering_ports(judge):
        offers = [offer for offer in seen.offers if offer.kind == "pps" and offer.current is not None]
        rated = rating(judge, port)
        if not offers or rated is None or not PRECISION < rated.power <= 240:
            continue
        five_amp = seen.cable_current is not None and seen.cable_current >= 5
        asked = required_programmable(rated.power, five_amp_cable=five_amp)
        least = required_programmable(rated.power - PRECISION, five_amp_cable=five_amp)
        best = max(offers, key=lambda offer: (offer.voltage, offer.current or 0.0))
        current = best.current or 0.0
        yield judge.decided(
            current >= least.current - 1e-6,
            "The programmable supply of {port} up to {voltage} gives {current}; a rating of {power} asks for {asked}.",
            subject=port.subject,
            used=[Key.of(port.subject, "pps_current", offer=best.voltage)],
            port=port.id,
            voltage=(best.voltage, "pps_max_voltage"),
            current=(current, "pps_current"),
            power=(rated.power, "output_power"),
            asked=(asked.current, "pps_current"),
        )
