"""The conversation as a whole: who offered, asked and granted what, who the ends and the cable are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from partingline.readers.cc.conversation.contracts import Contract, Offer, find_contracts, find_offers
from partingline.readers.cc.conversation.exchange import Event, pair_frames
from partingline.readers.cc.conversation.modes import AlternateMode, EprSession, find_epr_sessions, find_modes
from partingline.readers.cc.conversation.recovery import Recovery
from partingline.readers.cc.conversation.senders import Sender, find_senders
from partingline.readers.cc.line.frame import Frame
from partingline.readers.cc.messages.cable import CableVdo
from partingline.readers.cc.messages.extended import PpsStatus, SourceCapabilitiesExtended
from partingline.readers.cc.messages.identity import Identity
from partingline.readers.cc.messages.message import Capabilities, decode_message
from partingline.readers.cc.messages.names import CABLE_RESET, HARD_RESET, SOP
from partingline.readers.cc.messages.status import Alert, RevisionInfo, SourceInfo
from partingline.readers.cc.messages.vdm import StructuredVdm

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Timed(Generic[T]):
    """Something said, when, and by whom."""

    time_s: float
    sender: str
    value: T


@dataclass(frozen=True, slots=True)
class Reset:
    """A hard or cable reset. Nothing on the wire tells who sent it. `vbus`: of a hard reset, where recorded."""

    time_s: float
    end_s: float
    kind: str
    vbus: Recovery | None = None


@dataclass(frozen=True, slots=True)
class Conversation:
    """Everything said in a recording, in time order.

    `revision`: the lowest that any frame carried (`2.0`, `3.x`), which both ends then use. `cable`: the last answer of
    a plug. `partners`: identities that the ends gave. `stray_acks`: numbers of GoodCRC frames that answer nothing seen.
    """

    events: tuple[Event, ...]
    offers: tuple[Offer, ...]
    contracts: tuple[Contract, ...]
    senders: tuple[Sender, ...]
    revision: str | None
    cable: CableVdo | None
    cable_identity: Identity | None
    partners: tuple[Timed[Identity], ...]
    sink_capabilities: tuple[Timed[Capabilities], ...]
    revisions: tuple[Timed[RevisionInfo], ...]
    source_infos: tuple[Timed[SourceInfo], ...]
    source_extended: tuple[Timed[SourceCapabilitiesExtended], ...]
    alerts: tuple[Timed[Alert], ...]
    pps_statuses: tuple[Timed[PpsStatus], ...]
    epr_sessions: tuple[EprSession, ...]
    modes: tuple[AlternateMode, ...]
    resets: tuple[Reset, ...]
    stray_acks: tuple[int, ...]

    @property
    def adjustable_trace(self) -> tuple[tuple[float, float, float | None], ...]:
        """(time, volts, amperes) of every PPS and AVS request that was carried out."""
        return tuple(
            (contract.ready_s, contract.voltage_v, contract.current_a)
            for contract in self.contracts
            if contract.ready_s is not None
            and contract.voltage_v is not None
            and contract.kind in ("pps", "spr_avs", "epr_avs")
        )


def tell(frames: Sequence[Frame]) -> Conversation:
    """The conversation of frames in time order; damaged frames say nothing."""
    events, stray = pair_frames(frames)
    offers = find_offers(events)
    identities = _identities(events)
    plug = [said.value for said in identities if said.sender == "plug"]
    return Conversation(
        events=tuple(events),
        offers=tuple(offers),
        contracts=tuple(find_contracts(events, offers)),
        senders=find_senders(frames),
        revision=_revision(frames),
        cable=next((identity.cable for identity in reversed(plug) if identity.cable), None),
        cable_identity=plug[-1] if plug else None,
        partners=tuple(said for said in identities if said.sender != "plug"),
        sink_capabilities=tuple(said for said in _said(events, Capabilities) if said.value.sink),
        revisions=_said(events, RevisionInfo),
        source_infos=_said(events, SourceInfo),
        source_extended=_said(events, SourceCapabilitiesExtended),
        alerts=_said(events, Alert),
        pps_statuses=_said(events, PpsStatus),
        epr_sessions=find_epr_sessions(events),
        modes=find_modes(events),
        resets=tuple(
            Reset(event.start_s, event.end_s, event.sop) for event in events if event.sop in (HARD_RESET, CABLE_RESET)
        ),
        stray_acks=tuple(stray),
    )


def _said(events: Sequence[Event], kind: type[T]) -> tuple[Timed[T], ...]:
    return tuple(
        Timed(event.start_s, event.sender, event.content.body)
        for event in events
        if event.content and isinstance(event.content.body, kind)
    )


def _identities(events: Sequence[Event]) -> list[Timed[Identity]]:
    found = []
    for event in events:
        body = event.content.body if event.content else None
        if isinstance(body, StructuredVdm) and isinstance(body.content, Identity):
            found.append(Timed(event.start_s, event.sender, body.content))
    return found


def _revision(frames: Sequence[Frame]) -> str | None:
    """The lowest that SOP frames carry: each end falls back to what the other speaks."""
    spoken = {
        message.header.revision
        for frame in frames
        if frame.valid and frame.payload and frame.sop == SOP
        for message in (decode_message(frame.payload),)
        if message.header.spec_revision < 3
    }
    return min(spoken, default=None)
