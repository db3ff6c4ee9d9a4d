"""A programmable supply reaches down to the lowest voltage of the port's revision of the specification."""

from collections.abc import Iterator
from typing import Any

from partingline.findings.judge import Judge
from partingline.findings.offered import offering_ports, revision
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources.source_power import lowest_programmable, source_power_citation


@rule(
    id="protocol.pps_lowest_voltage",
    claim="A programmable supply reaches down to the lowest voltage of its revision: 3.3 V, from 3.2 on 5 V.",
    source=source_power_citation("programmable_lowest"),
)
def pps_lowest_voltage(judge: Judge) -> Iterator[Finding]:
    for port, seen in offering_ports(judge):
        offers = [offer for offer in seen.offers if offer.kind == "pps" and offer.low is not None]
        if not offers:
            continue
        best = max(offers, key=lambda offer: offer.voltage)
        low = best.low or 0.0
        told = revision(judge, port)
        known = lowest_programmable(told.text) if told else None
        used = [Key.of(port.subject, "pps_min_voltage", offer=best.voltage)]
        words: dict[str, Any] = {"port": port.id, "low": (low, "pps_min_voltage")}
        strictest, easiest = lowest_programmable("3.0") or 0.0, lowest_programmable("3.2") or 0.0
        if known is None and strictest + 0.05 < low <= easiest + 0.05:
            yield judge.undecided(
                "The programmable supply of {port} starts at {low}: right from revision 3.2 on, "
                "too high before; the port's revision is not known.",
                subject=port.subject,
                used=used,
                next_step=f"Ask {port.id} for its revision (Get_Revision).",
                **words,
            )
            continue
        limit = known or (strictest if low <= strictest + 0.05 else easiest)
        whose = f"revision {told.text}" if told and known else "the strictest revision"
        whose = whose if known or limit == strictest else "the most lenient revision"
        yield judge.decided(
            low <= limit + 0.05,
            "The programmable supply of {port} starts at {low}; {whose} allows {limit} at most.",
            subject=port.subject,
            used=[*used, told.key] if told else used,
            whose=whose,
            limit=(limit, "pps_min_voltage"),
            **words,
        )
