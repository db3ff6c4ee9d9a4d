"""Supplies are named in a fixed order, so that every device finds them."""

from collections.abc import Iterator
from itertools import pairwise

from partingline.findings.judge import Judge
from partingline.findings.offered import offering_ports, offers_key
from partingline.findings.rule import rule
from partingline.model import Finding, Offer
from partingline.sources import cite

_GROUP = {"fixed": 0, "battery": 1, "variable": 2, "pps": 3, "spr_avs": 3, "epr_avs": 3}


@rule(
    id="protocol.objects_in_order",
    claim="A USB-C port names its supplies in order: fixed, battery, variable, augmented, each rising.",
    source=cite("chromiumos-ec", "order of the objects, quoting the standard", "S2"),
)
def objects_in_order(judge: Judge) -> Iterator[Finding]:
    for port, seen in offering_ports(judge):
        if not seen.captured or len(seen.offers) < 2:
            continue
        listed = sorted((o for o in seen.offers if o.position < 8), key=lambda offer: offer.position)
        wrong = next((pair for pair in pairwise(listed) if _swapped(*pair)), None)
        yield judge.decided(
            wrong is None,
            "The {count} supplies of {port} are named in the order that the standard asks for."
            if wrong is None
            else "{port} names object {first} before object {second}, against the order of the standard.",
            subject=port.subject,
            used=[offers_key(port)],
            port=port.id,
            count=len(listed),
            first=f"{wrong[0].position} ({_written(wrong[0])})" if wrong else "",
            second=f"{wrong[1].position} ({_written(wrong[1])})" if wrong else "",
        )


def _swapped(earlier: Offer, later: Offer) -> bool:
    before, after = _GROUP.get(earlier.kind, 3), _GROUP.get(later.kind, 3)
    if before != after:
        return before > after
    if "spr_avs" in (earlier.kind, later.kind):
        return False  # where it stands among the augmented ones is uncertain
    return _rank(earlier) > _rank(later)


def _rank(offer: Offer) -> float:
    """Battery and variable supplies rise by their lowest voltage, the others by their highest."""
    rising_by_low = offer.kind in ("battery", "variable") and offer.low is not None
    return offer.low if rising_by_low and offer.low is not None else offer.voltage


def _written(offer: Offer) -> str:
    return offer.text or f"{offer.kind.replace('_', ' ')} {offer.voltage:g}\u202fV"
