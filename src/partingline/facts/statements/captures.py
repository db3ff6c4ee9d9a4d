"""What the recordings of a unit say: the offers of its ports, and how the two ends kept times, rates and levels."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import PurePosixPath

from partingline.facts.statements.capture_line import line_statements
from partingline.facts.statements.capture_modes import mode_statements
from partingline.facts.statements.capture_plug import plug_statements
from partingline.facts.statements.capture_ports import port_statements
from partingline.facts.statements.capture_talk import talk_statements
from partingline.facts.statements.capture_vbus import vbus_statements
from partingline.facts.statements.capture_video import video_statements
from partingline.facts.statements.captured import Witness
from partingline.facts.statements.offers import offer_from_object
from partingline.model import OfferList, Port, Statement
from partingline.readers.cc import Capture
from partingline.readers.cc.conversation.exchange import Event
from partingline.readers.cc.conversation.story import Conversation
from partingline.readers.cc.objects import Identity, StructuredVdm
from partingline.readers.folder import Folder

Captures = Mapping[str, Capture]
_UNMARKED = 3.0
"""A cable that does not answer carries 3 A."""


def captured_ports(
    ports: tuple[Port, ...], captures: Captures, told: Mapping[str, str], folder: Folder
) -> tuple[Port, ...]:
    """The ports with the offers that were seen on the wire added to those that were typed; `told` is the port that a
    recording names."""
    seen: dict[str, list[OfferList]] = {}
    for name, capture in captures.items():
        if (port := port_of(name, ports, told.get(name, ""))) is not None:
            seen.setdefault(port, []).extend(_offer_lists(Witness(name, capture, folder)))
    return tuple(
        replace(port, offer_lists=(*_through(port, seen.get(port.id, ())), *port.offer_lists)) for port in ports
    )


def _through(port: Port, seen: Sequence[OfferList]) -> Iterator[OfferList]:
    """The lists seen, through the cable that was typed where the recording does not tell of one."""
    typed = next((one.cable_current for one in port.offer_lists if one.cable_current is not None), None)
    for one in seen:
        yield replace(one, cable_current=typed) if one.cable_current is None else one


def port_of(name: str, ports: tuple[Port, ...], told: str = "") -> str | None:
    """The port that a recording belongs to: the one that it tells, that its file name holds, or the only one."""
    if told:
        return next((port.id for port in ports if port.id.casefold() == told.casefold()), None)
    words = re.split(r"[^a-z0-9]+", PurePosixPath(name).stem.casefold())
    named = [port.id for port in ports if port.id.casefold() in words]
    if named:
        return named[0]
    return ports[0].id if len(ports) == 1 else None


def capture_statements(
    captures: Captures,
    folder: Folder,
    ports: tuple[Port, ...] = (),
    told: Mapping[str, str] | None = None,
    *,
    of_cable: bool = False,
) -> Iterator[Statement]:
    """Everything that a recording says of itself, as `capture:NAME/...`, and what a port says in it of itself; where
    the unit is the cable (`of_cable`), what its plug says of it."""
    for name, capture in captures.items():
        if capture.kind == "unreadable":
            continue
        witness = Witness(name, capture, folder)
        for say in (line_statements, talk_statements, mode_statements, vbus_statements, video_statements):
            yield from say(witness)
        if (port := port_of(name, ports, (told or {}).get(name, ""))) is not None:
            yield from port_statements(witness, port)
        if of_cable:
            yield from plug_statements(witness)


def _offer_lists(witness: Witness) -> Iterator[OfferList]:
    talk = witness.capture.conversation
    for offer in talk.offers:
        offers = tuple(
            offer_from_object(position, pdo)
            for position, pdo in enumerate(offer.pdos, 1)
            if pdo.kind not in ("empty", "reserved")
        )
        current = cable_current_at(talk, offer.first_s, whole=witness.timed)
        yield OfferList(offers, True, current, witness.between(offer.first_s, offer.first_s + 1e-3))


def cable_current_at(talk: Conversation, time_s: float, *, whole: bool = True) -> float | None:
    """What the source knows of the cable by then, A: the plug's answer, 3 A where none came, None where none was asked
    for in the recording, or where an answer may have been left out of it (`whole` is False)."""
    before = [event for event in talk.events if event.start_s < time_s and isinstance(_identity(event), StructuredVdm)]
    for event in reversed(before):
        body = _identity(event)
        content = body.content if body is not None else None
        cable = content.cable if event.sender == "plug" and isinstance(content, Identity) else None
        if cable is not None:
            return cable.current_a
    return _UNMARKED if whole and any(event.sop != "SOP" and event.sender == "source" for event in before) else None


def _identity(event: Event) -> StructuredVdm | None:
    """The Discover Identity message of an event, asked or answered."""
    body = event.content.body if event.content else None
    return body if isinstance(body, StructuredVdm) and body.header.command_code == 1 else None
