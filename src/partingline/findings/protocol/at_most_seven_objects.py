"""A capability message has room for seven supplies; the extended one for eleven."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.offered import offering_ports, offers_key
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.at_most_seven_objects",
    claim="A USB-C port offers at most seven supplies, or eleven with the extended range.",
    source=cite("chromiumos-ec", "number of objects in a message", "S2"),
)
def at_most_seven_objects(judge: Judge) -> Iterator[Finding]:
    for port, seen in offering_ports(judge):
        extended = any(o.kind == "epr_avs" or o.position > 7 for o in seen.offers)
        most = 11 if extended else 7
        yield judge.decided(
            len(seen.offers) <= most,
            "{port} offers {count} "
            + ("supply" if len(seen.offers) == 1 else "supplies")
            + "; a capability message of its range holds at most {most}.",
            subject=port.subject,
            used=[offers_key(port)],
            port=port.id,
            count=len(seen.offers),
            most=most,
        )
