"""A port offers no kind of supply that its revision of the specification does not know."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.offered import offering_ports, revision
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

_SINCE = {"pps": "3.0", "epr_avs": "3.1", "spr_avs": "3.2"}


@rule(
    id="protocol.revision_covers_offers",
    claim="A port offers only kinds of supplies that the revision it tells knows.",
    source=cite("linux-usb-pd", "tables of augmented objects, with the revision that brought each", "S2"),
)
def revision_covers_offers(judge: Judge) -> Iterator[Finding]:
    for port, seen in offering_ports(judge):
        told = revision(judge, port)
        if told is None or told.text[:1] not in "23" or told.text.endswith("x"):
            continue
        early = [offer for offer in seen.offers if told.text < _SINCE.get(offer.kind, "")]
        yield judge.decided(
            not early,
            "{port} tells revision {revision} and offers "
            + ("{early}, which came later." if early else "what it knows."),
            subject=port.subject,
            used=[told.key],
            port=port.id,
            revision=told.text,
            early=", ".join(offer.text or offer.kind for offer in early),
        )
