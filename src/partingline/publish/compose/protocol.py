"""What the ports offer, and what was said on the wire."""

from typing import Any

from partingline.facts.opened import Opened
from partingline.facts.show import show_value
from partingline.model import Key, Offer, Port
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import (
    Align,
    Block,
    Column,
    Drawing,
    Figure,
    Section,
    Span,
    Spans,
    Table,
    TableCell,
    TableGroup,
    TableRow,
    plain,
)
from partingline.publish.figures import Band, Contract, Message, Trace, protocol_timeline
from partingline.readers.cc.objects import StructuredVdm

MOST_MESSAGES = 60
POINTS = 3000


def protocol(opened: Opened, ledger: Ledger) -> Section | None:
    """The timeline of every recording and the table of offers; None where no port offers anything."""
    blocks: list[Block] = []
    for name, capture in opened.captures.items():
        if capture.frames:
            blocks.append(_timeline(name, capture))
    offering = [port for port in opened.unit.ports if port.offers]
    if offering:
        blocks.append(_offers(offering, ledger))
    return Section("protocol", "Ports and protocol", tuple(blocks), _note(opened)) if blocks else None


def _note(opened: Opened) -> str:
    frames = sum(len(capture.frames) for capture in opened.captures.values())
    return f"{frames} frames on the wire" if frames else "offers as typed; no recording of the wire"


def _timeline(name: str, capture: Any) -> Figure:
    talk = capture.conversation
    messages = [Message(event.start_s, _sender(event), _name(event)) for event in talk.events]
    messages += [Message(frame.start_s, "", "damaged") for frame in capture.frames if not frame.valid]
    messages = sorted(messages, key=lambda message: message.t_s)[:MOST_MESSAGES]
    end = capture.duration_s or max((event.end_s for event in talk.events), default=0.0)
    contracts = [
        Contract(contract.ready_s, contract.end_s if contract.end_s is not None else end, _agreed(contract))
        for contract in talk.contracts
        if contract.ready_s is not None
    ]
    svg = protocol_timeline(messages, contracts=contracts, vbus=_vbus(capture, end), wire=_wire(capture, end))
    damaged = sum(not frame.valid for frame in capture.frames)
    rates = "; ".join(f"{s.name} {show_value(s.bit_rate_hz, 'bit_rate')}" for s in talk.senders)
    caption = f"{name}: {len(capture.frames)} frames, {damaged} damaged; {rates}. Long silences are drawn short."
    said = ", ".join(message.name for message in messages[:12])
    return Figure(f"figure-{name}", "The conversation", Drawing(svg), plain(caption), f"In order: {said}.")


def _sender(event: Any) -> str:
    """Nothing on the wire tells who sent a reset."""
    return "" if event.content is None else {"plug": "cable"}.get(event.sender, event.sender)


def _name(event: Any) -> str:
    """The message's name; of a vendor's structured message its command."""
    if event.content is None:
        return str(event.sop)
    body = event.content.body
    return body.text.removesuffix(" REQ") if isinstance(body, StructuredVdm) else str(event.content.name)


def _agreed(contract: Any) -> str:
    if contract.voltage_v is None or contract.current_a is None:
        return str(contract.rdo.text)
    kind = "PPS " if contract.kind == "pps" else ""
    return f"{kind}{contract.voltage_v:g} V {contract.current_a:g} A"


def _vbus(capture: Any, end: float) -> Trace | None:
    levels = capture.levels("vbus", 0.0, end, POINTS) if "vbus" in capture.channels else None
    return Trace("VBUS", levels.time_s, levels.mean) if levels is not None and len(levels.time_s) else None


def _wire(capture: Any, end: float) -> Band | None:
    """The envelope of the CC wire that carried the frames; none where only edges were recorded."""
    name = next((frame.channel for frame in capture.frames if frame.valid), "cc1")
    levels = capture.levels(name, 0.0, end, POINTS)
    return Band(name.upper(), levels.time_s, levels.low, levels.high) if levels is not None else None


def _offers(ports: list[Port], ledger: Ledger) -> Table:
    columns = (Column("object"), Column("offers"), Column("power", Align.RIGHT), Column("seen"))
    groups = tuple(
        TableGroup(_title(port), tuple(_offer(port, offer, ledger) for offer in port.offers)) for port in ports
    )
    return Table(columns, groups, "What each port offers.")


def _title(port: Port) -> str:
    best = next((seen for seen in port.offer_lists if seen.offers == port.offers), None)
    cable = f", with a {best.cable_current:g} A cable" if best and best.cable_current else ""
    return f"{port.id} · {port.connector}{cable}".replace(" · ,", ",")


def _offer(port: Port, offer: Offer, ledger: Ledger) -> TableRow:
    quantity = {"fixed": "available_current", "pps": "pps_current"}.get(offer.kind, "avs_power")
    ref = ledger.ref(Key.of(port.subject, quantity, offer=offer.voltage))
    power = offer.power or (offer.voltage * offer.current if offer.current and offer.kind == "fixed" else None)
    best = next((seen for seen in port.offer_lists if seen.offers == port.offers), None)
    seen: Spans = ()
    if best is not None:
        word = "on the wire" if best.captured else "typed"
        seen = (Span(word, ledger.evidence_ref(best.evidence) if best.evidence.sha256 else None),)
    return TableRow(
        (
            TableCell(plain(f"{offer.position}")),
            TableCell((Span(offer.text, ref),)),
            TableCell(plain(show_value(power, "output_power") if power else "")),
            TableCell(seen),
        )
    )
