"""From revision 3.2 on, a source above 27 W offers an adjustable supply in the standard range."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.offered import offering_ports, rating, revision
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.avs_expected",
    claim="A USB-C source of revision 3.2 above 27 W offers an adjustable supply from 9 V.",
    source=cite("usb-pd-web", "adjustable supplies above 27 W, second-hand", "M"),
)
def avs_expected(judge: Judge) -> Iterator[Finding]:
    for port, seen in offering_ports(judge):
        told, rated = revision(judge, port), rating(judge, port)
        if told is None or not told.text.startswith("3.2") or rated is None or rated.power <= 27:
            continue
        found = next((offer for offer in seen.offers if offer.kind == "spr_avs"), None)
        asked = 15 if rated.power <= 45 else 20
        reaches = 0 if found is None else (20 if found.upper_current else 15)
        yield judge.decided(
            reaches >= asked,
            "{port} speaks revision {revision} and is rated {power}, which asks for an adjustable supply "
            "from 9 to {asked} V; " + ("it offers one up to {reaches} V." if found else "it offers none."),
            subject=port.subject,
            used=[told.key],
            port=port.id,
            revision=told.text,
            power=(rated.power, "output_power"),
            reaches=reaches,
            asked=asked,
        )
