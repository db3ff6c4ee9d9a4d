"""What each port offers against what its power rating asks for, by the limits that the rules use."""

from typing import Any

from partingline.facts.show import show_value
from partingline.findings.case import Case
from partingline.findings.judge import Judge
from partingline.findings.offered import PRECISION, STEP, fixed, is_usb_c, offer_list, rating
from partingline.findings.protocol.required_fixed_objects import required_fixed_objects
from partingline.model import Key, Offer, Port, Verdict
from partingline.sources.source_power import required_extended, required_fixed, required_programmable
from partingline.workbench.live import Shown


def offered(shown: Shown) -> list[dict[str, Any]]:
    """One record a port: its rating and who tells it, and a row for each supply that is offered or required."""
    judge = Judge(Case(shown.opened.unit, shown.opened.book, captures=shown.opened.captures), required_fixed_objects)
    return [_port(port, judge, shown) for port in shown.opened.unit.ports]


def _port(port: Port, judge: Judge, shown: Shown) -> dict[str, Any]:
    seen, rated = offer_list(port), rating(judge, port)
    five_amp = seen is None or seen.cable_current is None or seen.cable_current >= 5
    asks = is_usb_c(port) and rated is not None and 0 < rated.power <= 240
    own = [f for f in shown.findings if f.subject == port.subject and f.group == "protocol"]
    return {
        "id": port.id, "connector": port.connector, "asks": asks,
        "rated": "" if rated is None else f"{show_value(rated.power, 'output_power')} by {rated.teller}",
        "seen": "not read yet" if seen is None else "on the wire" if seen.captured else "typed",
        "cable": f"{seen.cable_current:g}\u202fA cable" if seen and seen.cable_current else "",
        "rows": _rows(port, rated.power if asks and rated else 0.0, five_amp, shown),
        "short": sum(f.verdict is Verdict.FALLS_SHORT for f in own), "rules": len(own),
    }  # fmt: skip


def _rows(port: Port, power: float, five_amp: bool, shown: Shown) -> list[dict[str, Any]]:
    have = fixed(port.offers)
    asked = {need.voltage: need.current for need in required_fixed(power, five_amp_cable=five_amp)} if power else {}
    asked |= {need.voltage: need.current for need in required_extended(power)} if power else {}
    lenient = max(power - PRECISION, PRECISION)
    least = {n.voltage: n.current - STEP for n in required_fixed(lenient, five_amp_cable=five_amp)} if power else {}
    rows = []
    for voltage in sorted({*have, *asked}):
        current, need = have.get(voltage), asked.get(voltage)
        enough = need is None or (current is not None and current >= least.get(voltage, need - STEP))
        rows.append(
            {
                "supply": f"{voltage:g}\u202fV", "offered": _amperes(current), "required": _amperes(need),
                "verdict": None if need is None else Verdict.MEETS if enough else Verdict.FALLS_SHORT,
                "ref": _known(Key.of(port.subject, "available_current", offer=voltage), shown),
            }
        )  # fmt: skip
    programmable = [offer for offer in port.offers if offer.kind != "fixed"]
    asked_pps = required_programmable(power, five_amp_cable=five_amp) if power else None
    return rows + [_ranged(offer, port, asked_pps.current if asked_pps else None, shown) for offer in programmable]


def _ranged(offer: Offer, port: Port, need: float | None, shown: Shown) -> dict[str, Any]:
    pps = offer.kind == "pps"
    low = f"{offer.low:g}–" if offer.low is not None else ""
    amount = _amperes(offer.current) if offer.current is not None else show_value(offer.power or 0.0, "output_power")
    enough = need is None or (offer.current or 0.0) >= need - 0.051
    return {
        "supply": f"{'PPS' if pps else offer.kind.replace('_', ' ').upper()} {low}{offer.voltage:g}\u202fV",
        "offered": amount, "required": _amperes(need) if pps else "",
        "verdict": None if need is None or not pps else Verdict.MEETS if enough else Verdict.UNDECIDED,
        "ref": _known(Key.of(port.subject, "pps_current", offer=offer.voltage), shown) if pps else "",
    }  # fmt: skip


def _amperes(value: float | None) -> str:
    return "" if value is None else f"{value:.4g}\u202fA"


def _known(key: Key, shown: Shown) -> str:
    return key.id if shown.opened.book.fact(key) is not None else ""
