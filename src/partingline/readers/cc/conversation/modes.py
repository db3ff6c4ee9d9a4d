"""EPR mode and alternate modes: when they were entered and left, and how they were kept."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

from partingline.readers.cc.conversation.exchange import Event
from partingline.readers.cc.messages.displayport import DpCapabilities, DpConfigure
from partingline.readers.cc.messages.extended import ExtendedControl
from partingline.readers.cc.messages.names import HARD_RESET
from partingline.readers.cc.messages.status import EprMode
from partingline.readers.cc.messages.vdm import DISPLAYPORT_SID, StructuredVdm


@dataclass(frozen=True, slots=True)
class EprSession:
    """A try at EPR mode. `keepalives_s`: times of the sink's keep-alive messages while it lasted."""

    asked_s: float
    sink_pdp_w: float | None
    acknowledged_s: float | None = None
    succeeded_s: float | None = None
    failed: str | None = None
    ended_s: float | None = None
    ended_by: str | None = None
    keepalives_s: tuple[float, ...] = ()

    @property
    def longest_silence_s(self) -> float | None:
        """The longest time between two keep-alives; None with fewer than two."""
        return max((b - a for a, b in pairwise(self.keepalives_s)), default=None)


@dataclass(frozen=True, slots=True)
class AlternateMode:
    """An alternate mode that was entered. The DisplayPort objects are the last seen, None for other modes."""

    svid: int
    sop: str
    position: int
    entered_s: float
    exited_s: float | None = None
    capabilities: DpCapabilities | None = None
    configure: DpConfigure | None = None


def find_epr_sessions(events: Iterable[Event]) -> tuple[EprSession, ...]:
    """Tries at EPR mode in time order."""
    found: list[EprSession] = []
    alive: list[float] = []
    for event in events:
        body = event.content.body if event.content else None
        if isinstance(body, EprMode) and body.action == "Enter":
            found[-1:] = [replace(session, keepalives_s=tuple(alive)) for session in found[-1:]]
            alive.clear()
            found.append(EprSession(event.start_s, body.sink_pdp_w))
        elif found and found[-1].ended_s is None and found[-1].failed is None:
            found[-1] = _epr_step(found[-1], event)
            if isinstance(body, ExtendedControl) and body.control == "EPR_KeepAlive":
                alive.append(event.start_s)
    found[-1:] = [replace(session, keepalives_s=tuple(alive)) for session in found[-1:]]
    return tuple(found)


def _epr_step(session: EprSession, event: Event) -> EprSession:
    body = event.content.body if event.content else None
    if event.sop == HARD_RESET:
        return replace(session, ended_s=event.start_s, ended_by="hard reset")
    if not isinstance(body, EprMode):
        return session
    match body.action:
        case "Enter Acknowledged":
            return replace(session, acknowledged_s=event.start_s)
        case "Enter Succeeded":
            return replace(session, succeeded_s=event.start_s)
        case "Enter Failed":
            return replace(session, failed=body.cause)
        case "Exit":
            return replace(session, ended_s=event.start_s, ended_by=event.sender)
    return session


def find_modes(events: Iterable[Event]) -> tuple[AlternateMode, ...]:
    """Modes whose entry was acknowledged, in time order."""
    found: list[AlternateMode] = []
    capabilities: DpCapabilities | None = None
    for event in events:
        body = event.content.body if event.content else None
        if event.sop == HARD_RESET:
            found = [replace(m, exited_s=event.start_s) if m.exited_s is None else m for m in found]
        if not isinstance(body, StructuredVdm):
            continue
        content = body.content
        if isinstance(content, tuple) and content and isinstance(content[0], DpCapabilities):
            capabilities = content[0]
        elif body.header.command_code == 4 and body.header.answer == "ACK":
            shown = capabilities if body.header.svid == DISPLAYPORT_SID else None
            found.append(
                AlternateMode(body.header.svid, event.sop, body.header.object_position, event.start_s, None, shown)
            )
        else:
            found = [_mode_step(mode, body, event) for mode in found]
    return tuple(found)


def _mode_step(mode: AlternateMode, body: StructuredVdm, event: Event) -> AlternateMode:
    header = body.header
    if mode.exited_s is not None or header.svid != mode.svid or event.sop != mode.sop:
        return mode
    if header.command_code == 5 and header.answer == "ACK":
        return replace(mode, exited_s=event.start_s)
    return replace(mode, configure=body.content) if isinstance(body.content, DpConfigure) else mode
