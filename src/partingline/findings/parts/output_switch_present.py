"""Whether a switch keeps the bus voltage off an empty USB-C receptacle."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="parts.output_switch_present",
    claim="A switch stands between the output capacitors and the USB-C receptacle.",
    source=cite("common-practice", "a USB-C source keeps VBUS off until something is attached", "P"),
)
def output_switch_present(judge: Judge) -> Iterator[Finding]:
    """Speaks where a USB-C port exists and the part list reaches the output."""
    if not any(port.connector.strip().casefold().endswith("c") for port in judge.unit.ports):
        return
    switches = judge.unit.having("output_switch")
    for part in switches:
        sentence = "{ref} switches the output voltage to the receptacle."
        yield judge.decided(True, sentence, subject=part.subject, ref=part.ref)
    if not switches and (judge.unit.having("protocol_controller") or judge.unit.having("port")):
        yield judge.decided(
            False,
            "No switch is listed between the output capacitors and the USB-C receptacle.",
            subject="stage:output",
            next_step="Look for a transistor beside the receptacle, or a switch inside the controller.",
        )
