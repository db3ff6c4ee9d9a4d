"""Ripple at the receptacle beside the limits that the trade uses; no published limit was found."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import estimate, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

SHARE, FLOOR = 0.01, 0.050


@rule(
    id="stage.output_ripple",
    claim="The ripple at the receptacle is at most 1 % of the output voltage, or 50 mV.",
    source=cite("from-memory", "1 % of the output voltage or 50 to 150 mV, as seen in data sheets", "M"),
)
def output_ripple(judge: Judge) -> Iterator[Finding]:
    """One finding for each port and contract whose ripple was read, at the largest reading."""
    largest: dict[tuple[str, float], tuple[float, Key]] = {}
    for key in judge.book.keys("ripple_voltage", "port:"):
        ripple, offer = estimate(judge.book, key), key.condition("offer")
        if ripple is not None and isinstance(offer, float):
            place = (key.subject, offer)
            largest[place] = max(largest.get(place, (0.0, key)), (ripple, key), key=lambda read: read[0])
    for (subject, offer), (_, key) in largest.items():
        yield judge.at_most(
            key,
            max(SHARE * offer, FLOOR),
            "The ripple of {port} at {offer} is {value} peak to peak; data sheets of the trade ask {limit}.",
            label="trade limit",
            next_step="Measure again with 20 MHz bandwidth and the capacitors at the probe.",
            port=subject.removeprefix("port:"),
            offer=said_at(key, "offer"),
        )
