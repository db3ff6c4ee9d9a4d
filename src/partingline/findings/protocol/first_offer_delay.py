"""Once its 5 V stand, the source names its supplies without delay."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.first_offer_delay",
    claim="The source names its supplies within 250 ms of switching VBUS on.",
    source=cite("usb-pd-r3", "tFirstSourceCap, as quoted in comments of two open implementations", "S2"),
)
def first_offer_delay(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "first_offer_delay"):
        yield judge.at_most(
            fact.key,
            0.250,
            "In the recording {name} the first offers come {value} after VBUS; {limit} is allowed.",
            name=name,
        )
