"""What a cable loses at its current."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

VBUS, GROUND = 0.5, 0.25
"""Volts that may be lost on the way there and on the way back."""


@rule(
    id="protocol.cable_drop",
    claim="At the current that its mark allows, a cable loses at most 750 mV there and back.",
    source=cite("usb-type-c", "4.4.1: 500 mV on VBUS and 250 mV on ground, contacts included", "S2"),
)
def cable_drop(judge: Judge) -> Iterator[Finding]:
    """One finding for a cable."""
    if judge.unit.kind.casefold() != "cable":
        return
    current = Key.of("unit", "cable_current")
    known = judge.book.fact(current) is not None
    yield judge.at_most(
        Key.of("unit", "cable_drop"),
        VBUS + GROUND,
        "At the {current} of its mark the cable loses {value} there and back; 500 mV on VBUS and 250 mV on ground, "
        "{limit} together, are allowed.",
        label="IR drop",
        next_step="Measure VBUS and ground in series with four wires, as `resistance` of `unit`; record or paste what "
        "its plug answers to Discover Identity.",
        current=current if known else "",
    )
