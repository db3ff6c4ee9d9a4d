"""No fixed supply promises more than the port's power rating, so that ratings can be compared."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.offered import OWN, PRECISION, STEP, fixed, offering_ports, rating, written
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="protocol.object_power_within_rating",
    claim="No fixed supply of a USB-C port promises more than the port's power rating.",
    source=cite("usb-pd-r3", "10.2", "M"),
)
def object_power_within_rating(judge: Judge) -> Iterator[Finding]:
    for port, seen in offering_ports(judge):
        rated, have = rating(judge, port), fixed(seen.offers)
        if rated is None or not have or rated.teller == OWN:
            continue  # held against its own offers it could not fail
        voltage, current = max(have.items(), key=lambda supply: supply[0] * supply[1])
        yield judge.decided(
            voltage * current <= rated.power + PRECISION + voltage * STEP,
            "The strongest fixed supply of {port} is {supply}, {offered}; {teller} rates the port {power}.",
            subject=port.subject,
            used=[Key.of(port.subject, "available_current", offer=voltage)],
            port=port.id,
            supply=written(voltage, current),
            offered=(voltage * current, "output_power"),
            teller=rated.teller,
            power=(rated.power, "output_power"),
        )
