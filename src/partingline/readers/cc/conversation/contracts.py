"""Offers, requests and what came of them: contracts as intervals of time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from partingline.readers.cc.conversation.exchange import Event
from partingline.readers.cc.conversation.vbus import VbusMeasure
from partingline.readers.cc.messages.message import Capabilities, EprRequest
from partingline.readers.cc.messages.names import HARD_RESET, SOP
from partingline.readers.cc.messages.pdo import FixedSource, Pdo
from partingline.readers.cc.messages.rdo import AvsRdo, BatteryRdo, FixedRdo, PpsRdo, Rdo, UnresolvedRdo

_ENDINGS = {"Accept": "accepted", "Reject": "rejected", "Wait": "wait"}


@dataclass(frozen=True, slots=True)
class Offer:
    """A source's list, from its first sending to the last one with the same content."""

    first_s: float
    last_s: float
    count: int
    pdos: tuple[Pdo, ...]
    epr: bool
    revision: str


@dataclass(frozen=True, slots=True)
class Contract:
    """One request and its outcome.

    outcome: `ready` (PS_RDY came), `accepted`, `rejected`, `wait` or `unanswered`. In force from `ready_s` to `end_s`
    (None: to the end of the recording); `offer` is its number in the list of offers. `copied`: the object that an
    EPR_Request carries along. `vbus`: the change to it; `held`: after a refusal, VBUS beside what was in force.
    """

    requested_s: float
    answered_s: float | None
    ready_s: float | None
    end_s: float | None
    outcome: str
    ended_by: str | None
    rdo: Rdo
    pdo: Pdo | None
    offer: int | None
    epr: bool
    copied: Pdo | None = None
    vbus: VbusMeasure | None = None
    held: VbusMeasure | None = None

    @property
    def kind(self) -> str:
        """Kind of the object asked for: fixed, battery, variable, pps, spr_avs, epr_avs or unknown."""
        return self.pdo.kind if self.pdo is not None else "unknown"

    @property
    def voltage_v(self) -> float | None:
        """The voltage that VBUS then has: of a fixed object or as requested."""
        if isinstance(self.rdo, PpsRdo | AvsRdo):
            return self.rdo.voltage_v
        return self.pdo.voltage_v if isinstance(self.pdo, FixedSource) else None

    @property
    def current_a(self) -> float | None:
        """The current asked for."""
        return None if isinstance(self.rdo, BatteryRdo | UnresolvedRdo) else self.rdo.current_a

    @property
    def power_w(self) -> float | None:
        """Voltage times current asked for, or the battery power."""
        if isinstance(self.rdo, BatteryRdo):
            return self.rdo.power_w
        volts, amps = self.voltage_v, self.current_a
        return None if volts is None or amps is None else volts * amps

    @property
    def text(self) -> str:
        """`20 V 3.25 A, ready`."""
        volts = self.voltage_v
        shown = self.rdo.text if volts is None or self.current_a is None else f"{volts:g} V {self.current_a:g} A"
        return f"{shown}, {self.outcome}"


def find_offers(events: list[Event]) -> list[Offer]:
    """Source lists in time order, equal ones in a row joined."""
    found: list[Offer] = []
    for event in events:
        content = event.content
        body = content.body if content else None
        if content is None or not isinstance(body, Capabilities) or body.sink or event.sop != SOP:
            continue
        if found and found[-1].pdos == body.pdos and found[-1].epr == body.epr:
            found[-1] = replace(found[-1], last_s=event.start_s, count=found[-1].count + 1)
        else:
            found.append(Offer(event.start_s, event.start_s, 1, body.pdos, body.epr, content.header.revision))
    return found


def find_contracts(events: list[Event], offers: list[Offer]) -> list[Contract]:
    """Contracts in time order. A contract in force ends with the next one, a hard reset or a detached source."""
    found: list[Contract] = []
    for event in events:
        name = event.content.name if event.content else event.sop
        body = event.content.body if event.content else None
        if event.sop == HARD_RESET:
            _end_running(found, event.start_s, "hard reset")
        elif name in ("Request", "EPR_Request") and event.sop == SOP:
            rdo = body.rdo if isinstance(body, EprRequest) else body
            if isinstance(rdo, FixedRdo | BatteryRdo | PpsRdo | AvsRdo | UnresolvedRdo):
                found.append(_asked(event, rdo, offers, name == "EPR_Request"))
        elif found and event.sender == "source" and event.sop == SOP:
            _answer(found, name, event)
    return found


def in_force(contracts: Sequence[Contract], at_s: float) -> Contract | None:
    """The contract that holds at a time."""
    holding = (
        c for c in contracts if c.ready_s is not None and c.ready_s <= at_s and (c.end_s is None or at_s < c.end_s)
    )
    return next(holding, None)


def _asked(event: Event, rdo: Rdo, offers: list[Offer], epr: bool) -> Contract:
    number = next((i for i in reversed(range(len(offers))) if offers[i].first_s <= event.start_s), None)
    pdos = offers[number].pdos if number is not None else ()
    pdo = pdos[rdo.position - 1] if 0 < rdo.position <= len(pdos) else None
    content = event.content
    copied = content.body.pdo if content is not None and isinstance(content.body, EprRequest) else None
    return Contract(event.start_s, None, None, None, "unanswered", None, rdo, pdo or copied, number, epr, copied)


def _answer(found: list[Contract], name: str, event: Event) -> None:
    last = found[-1]
    if last.outcome == "unanswered" and name in _ENDINGS:
        found[-1] = replace(last, answered_s=event.end_s, outcome=_ENDINGS[name])
    elif last.outcome == "accepted" and name == "PS_RDY":
        _end_running(found, event.end_s, "next contract")
        found[-1] = replace(found[-1], ready_s=event.end_s, outcome="ready")


def _end_running(found: list[Contract], at_s: float, why: str) -> None:
    for i in reversed(range(len(found))):
        if found[i].outcome == "ready":
            if found[i].end_s is None:
                found[i] = replace(found[i], end_s=at_s, ended_by=why)
            return
