"""The first supply that a source names is 5 V fixed: every device may start from it."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.offered import offering_ports, offers_key
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.first_object_is_5_v",
    claim="The first supply that a USB-C port offers is 5 V fixed.",
    source=cite("chromiumos-ec", "order of the objects, quoting the standard", "S2"),
)
def first_object_is_5_v(judge: Judge) -> Iterator[Finding]:
    for port, seen in offering_ports(judge):
        if not seen.captured:
            continue
        first = min(seen.offers, key=lambda offer: offer.position)
        yield judge.decided(
            first.kind == "fixed" and abs(first.voltage - 5) < 0.01,
            "The first supply that {port} names on the wire is {kind}, {voltage}; it must be 5 V fixed.",
            subject=port.subject,
            used=[offers_key(port)],
            port=port.id,
            kind=first.kind.replace("_", " "),
            voltage=(first.voltage, "port_voltage"),
        )
