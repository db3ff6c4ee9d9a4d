"""What a recording says of modes that must be kept alive: programmable supplies and the extended power range."""

from collections.abc import Iterator
from itertools import pairwise

from partingline.facts.statements.captured import Witness
from partingline.model import Sense, Statement
from partingline.readers.cc.conversation.modes import EprSession

_PPS_REQUEST_S = 10.0
_KEEPALIVE_S = 0.5
_HARD_RESET = "hard reset"


def mode_statements(witness: Witness) -> Iterator[Statement]:
    """Gaps between requests and keep-alives, and what the source does about silence; nothing without times."""
    if witness.timed:
        yield from _programmable(witness)
        yield from _extended(witness)


def _programmable(witness: Witness) -> Iterator[Statement]:
    contracts = witness.capture.conversation.contracts
    running = [contract for contract in contracts if contract.kind == "pps" and contract.ready_s is not None]
    if not running:
        return
    gaps = [
        (after.requested_s - before.requested_s, before.requested_s, after.requested_s)
        for before, after in pairwise(contracts)
        if before.kind == "pps" and before.ready_s is not None and before.ended_by != _HARD_RESET
    ]
    silences = []
    for contract in running:
        if contract.ended_by == _HARD_RESET and contract.end_s is not None:
            silences.append((contract.end_s - contract.requested_s, contract.requested_s, contract.end_s))
    last = contracts[-1]
    if last is running[-1] and last.end_s is None:
        gaps.append((witness.end_s - last.requested_s, last.requested_s, witness.end_s))
    yield from witness.extreme("pps_request_gap", [*gaps, *silences], highest=True)
    long = [silence for silence in silences if silence[0] > _PPS_REQUEST_S]
    yield from witness.extreme("pps_timeout", long, highest=True, note="last request to hard reset")
    if gaps and last.end_s is None and last is running[-1] and gaps[-1][0] > _PPS_REQUEST_S and not long:
        value, start, end = gaps[-1]
        note = "no hard reset up to the end of the recording"
        yield witness.says("pps_timeout", value, (start, end), note, sense=Sense.AT_LEAST)


def _extended(witness: Witness) -> Iterator[Statement]:
    sessions = witness.capture.conversation.epr_sessions
    entered = [(session, session.succeeded_s) for session in sessions if session.succeeded_s is not None]
    if not entered:
        return
    times = [(succeeded - session.asked_s, session.asked_s, succeeded) for session, succeeded in entered]
    yield from witness.extreme("epr_entry_time", times, highest=True)
    faults = [fault for session, succeeded in entered for fault in _order_faults(witness, session, succeeded)]
    yield witness.count("epr_entry_faults", len(faults), "; ".join(faults))
    gaps, silences = [], []
    for session, succeeded in entered:
        end = session.ended_s if session.ended_s is not None else witness.end_s
        spoken = [event.start_s for event in witness.capture.conversation.events
                  if event.sender == "sink" and succeeded < event.start_s < end]  # fmt: skip
        gaps += [(b - a, a, b) for a, b in pairwise([succeeded, *spoken, end])]
        if session.ended_by == _HARD_RESET and gaps[-1][0] > _KEEPALIVE_S:
            silences.append(gaps[-1])
    yield from witness.extreme("epr_keepalive_gap", gaps, highest=True)
    yield from witness.extreme("epr_timeout", silences, highest=True, note="last word of the device to hard reset")


def _order_faults(witness: Witness, session: EprSession, succeeded_s: float) -> Iterator[str]:
    """What is missing or out of turn: acknowledgement, the cable's answer, success, extended offers, request."""
    talk = witness.capture.conversation
    if session.acknowledged_s is None or not session.asked_s < session.acknowledged_s < succeeded_s:
        yield "success without acknowledgement before it"
    asked = [event for event in talk.events if event.sender == "plug" and event.start_s < succeeded_s]
    if not asked:
        yield "success without an answer of the cable before it"
    ends = session.ended_s if session.ended_s is not None else witness.end_s
    offered = [offer.first_s for offer in talk.offers if offer.epr and succeeded_s < offer.first_s <= ends]
    requests = [c.requested_s for c in talk.contracts if c.epr and succeeded_s < c.requested_s <= ends]
    if requests and not (offered and offered[0] < requests[0]):
        yield "extended request before extended offers"
