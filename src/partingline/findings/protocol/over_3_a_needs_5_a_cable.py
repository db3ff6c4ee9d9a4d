"""More than 3 A is offered only through a cable that says it carries 5 A, or through a captive one."""

from collections.abc import Iterator
from typing import Any

from partingline.findings.judge import Judge
from partingline.findings.offered import STEP, offering_ports, offers_key, written
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="protocol.over_3_a_needs_5_a_cable",
    claim="A USB-C port offers more than 3 A only through a cable that is marked for 5 A.",
    source=cite("renesas-usb-pd", "footnote to the normative currents", "S2"),
)
def over_3_a_needs_5_a_cable(judge: Judge) -> Iterator[Finding]:
    for port, seen in offering_ports(judge):
        most = max(seen.offers, key=lambda offer: max(offer.current or 0.0, offer.upper_current or 0.0))
        current = max(most.current or 0.0, most.upper_current or 0.0)
        if current <= 3 + STEP:
            continue
        words: dict[str, Any] = {"port": port.id, "supply": written(most.voltage, current)}
        if seen.cable_current is None:
            yield judge.lacks(
                "{port} offers {supply}; whether the cable in use was marked for 5 A is not known.",
                subject=port.subject,
                missing=[Key.of(port.subject, "cable_current")],
                next_step=f"Note the cable that was used at {port.id}; read the offers with a 3 A one too.",
                **words,
            )
            continue
        yield judge.decided(
            seen.cable_current >= 5,
            "{port} offers {supply} through a cable of {cable}; more than 3 A asks for a 5 A cable.",
            subject=port.subject,
            used=[offers_key(port)],
            cable=(seen.cable_current, "cable_current"),
            **words,
        )
