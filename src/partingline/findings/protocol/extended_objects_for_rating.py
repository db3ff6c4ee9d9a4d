"""Above 100 W a USB-C source offers the higher voltages of the extended power range."""

from collections.abc import Iterator
from typing import Any

from partingline.findings.judge import Judge
from partingline.findings.offered import PRECISION, STEP, fixed, offering_ports, rating, written
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources.source_power import required_extended, source_power_citation


@rule(
    id="protocol.extended_objects_for_rating",
    claim="A USB-C port above 100 W offers the fixed voltages of the extended range that its rating asks for.",
    source=source_power_citation("extended"),
)
def extended_objects_for_rating(judge: Judge) -> Iterator[Finding]:
    for port, seen in offering_ports(judge):
        rated = rating(judge, port)
        if rated is None or not 0 < rated.power <= 240 or not (asked := required_extended(rated.power)):
            continue
        have = fixed(seen.offers)
        words: dict[str, Any] = {"port": port.id, "asked": ", ".join(written(n.voltage, n.current) for n in asked)}
        used = [Key.of(port.subject, "available_current", offer=need.voltage) for need in asked]
        if max(have, default=0.0) <= 20:
            yield judge.lacks(
                "The rating of {port} asks for {asked}; its extended offers were not read.",
                subject=port.subject,
                missing=used,
                next_step=f"Read {port.id} in the extended mode, through a cable that is marked for it.",
                **words,
            )
            continue
        least = {need.voltage: need.current - PRECISION / need.voltage - STEP for need in asked}
        short = [volts for volts, amperes in least.items() if have.get(volts, 0.0) < amperes]
        yield judge.decided(
            not short,
            "The rating of {port} asks for {asked}; it offers {got}.",
            subject=port.subject,
            used=used,
            got=", ".join(written(v, i) for v, i in sorted(have.items()) if v > 20),
            **words,
        )
