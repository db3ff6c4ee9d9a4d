"""No supply is named twice, and no fixed voltage twice."""

from collections import Counter
from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.offered import offering_ports, offers_key
from partingline.findings.rule import rule
from partingline.model import Finding, Offer
from partingline.sources import cite


@rule(
    id="protocol.no_duplicate_objects",
    claim="A USB-C port names no supply twice, and no fixed voltage twice.",
    source=cite("usb-pd-r3", "6.4.1", "M"),
)
def no_duplicate_objects(judge: Judge) -> Iterator[Finding]:
    for port, seen in offering_ports(judge):
        twice = [what for what, count in Counter(map(_identity, seen.offers)).items() if count > 1]
        yield judge.decided(
            not twice,
            "{port} names {twice} more than once." if twice else "{port} names each of its supplies once.",
            subject=port.subject,
            used=[offers_key(port)],
            port=port.id,
            twice=", ".join(twice),
        )


def _identity(offer: Offer) -> str:
    if offer.kind == "fixed":
        return f"{offer.voltage:g}\u202fV fixed"
    low = f"{offer.low:g}–" if offer.low is not None else ""
    at = "".join(f" {x:g}" for x in (offer.current, offer.upper_current, offer.power) if x is not None)
    return f"{low}{offer.voltage:g}\u202fV {offer.kind.replace('_', ' ')}{at}"
