"""What a recording says of the conversation: acknowledgements, delays, requests, and how modes were kept."""

from collections.abc import Iterator
from itertools import pairwise

from partingline.facts.statements.captured import Witness
from partingline.facts.statements.requests import copy_fault, request_fault
from partingline.model import Key, Number, Route, Statement, Text
from partingline.readers.cc.conversation.contracts import Contract
from partingline.readers.cc.conversation.exchange import Event
from partingline.readers.cc.objects import Capabilities

_ANSWER_S = 1.5e-3
_PATIENCE_S = 33e-3
"""A request later than this before the end of the recording may still be answered behind it (tSenderResponse)."""
_SAFE_5V = 4.75


def talk_statements(witness: Witness) -> Iterator[Statement]:
    """Counts of every recording; times of those that have times."""
    yield from _counts(witness)
    yield from _requests(witness)
    if witness.timed:
        yield from _acknowledged(witness)
        yield from _offering(witness)
        yield from _answers(witness)
        yield from _ready(witness)


def _counts(witness: Witness) -> Iterator[Statement]:
    capture, talk = witness.capture, witness.capture.conversation
    if not capture.frames:
        return
    damaged = [frame for frame in capture.frames if not frame.valid]
    yield witness.count("damaged_frames", len(damaged), ", ".join(sorted({frame.reason or "" for frame in damaged})))
    yield witness.count("retry_count", max((event.retries for event in talk.events), default=0))
    told = [said.value.revision for said in talk.revisions if said.sender == "source"]
    if revision := told[-1] if told else talk.revision:
        note = "told by the source" if told else "as every header says"
        key = Key.of(witness.subject, "pd_revision")
        yield Statement(key, Text(revision), Route.CAPTURED, evidence=(witness.whole(),), note=note)
    if talk.cable is not None and talk.cable.current_a is not None:
        key = Key.of(witness.subject, "cable_current")
        current = Number(talk.cable.current_a)
        yield Statement(key, current, Route.CAPTURED, evidence=(witness.whole(),), note="answer of the cable's plug")


def _requests(witness: Witness) -> Iterator[Statement]:
    talk = witness.capture.conversation
    judged = [(contract, fault) for contract in talk.contracts
              if (fault := request_fault(contract, talk.offers)) is not None]  # fmt: skip
    if not judged:
        return
    copies = [(contract, copy_fault(contract, talk.offers)) for contract, _ in judged if contract.epr]
    if copies:
        bad = [fault for _, fault in copies if fault]
        yield witness.count("wrong_object_copies", len(bad), "; ".join(bad[:5]))
    wrong = [(contract, fault) for contract, fault in judged if fault]
    yield witness.count("invalid_requests", len(wrong), "; ".join(fault for _, fault in wrong[:5]))
    if wrong:
        granted = [fault for contract, fault in wrong if contract.outcome in ("accepted", "ready")]
        yield witness.count("granted_invalid_requests", len(granted), "; ".join(granted[:5]))


def _acknowledged(witness: Witness) -> Iterator[Statement]:
    talk = witness.capture.conversation
    delays = ((event.ack_delay_s, event.start_s, event.end_s) for event in talk.events if event.ack_delay_s is not None)
    yield from witness.extreme("goodcrc_delay", delays, highest=True)
    heard = [event for event in talk.events if event.message is not None and event.sender != "source"]
    heard = [event for event in heard if event.end_s + _ANSWER_S < witness.end_s]
    if heard:
        damaged = [frame.start_s for frame in witness.capture.frames if not frame.valid]
        left = [event for event in heard if event.ack is None and not _drowned(event, damaged)]
        note = "; ".join(f"{event.text} at {event.start_s * 1e3:.3f} ms" for event in left[:5])
        yield witness.count("unacknowledged_messages", len(left), note)


def _drowned(event: Event, damaged: list[float]) -> bool:
    """Whether a damaged frame stands where the acknowledgement belongs."""
    return any(event.end_s < start_s < event.end_s + _ANSWER_S for start_s in damaged)


def _offering(witness: Witness) -> Iterator[Statement]:
    """From VBUS to the first offers, and the time between offers that nobody answered."""
    sent = [event for event in witness.capture.conversation.events if _offers(event)]
    frames = witness.capture.frames
    begins = [frames[event.frames[0]].start_s for event in sent]
    periods = [
        (after - before, before, after)
        for event, (before, after) in zip(sent, pairwise(begins), strict=False)
        if event.ack is None
    ]
    yield from witness.extreme("offer_period", periods, highest=False)
    yield from witness.extreme("longest_offer_period", periods, highest=True)
    crossings = witness.capture.crossings("vbus", _SAFE_5V) if begins else ()
    risen = max((t for t, rising in crossings if rising and t < begins[0]), default=None)
    if risen is not None:
        note = "VBUS above 4.75 V to the first offers"
        yield witness.says("first_offer_delay", begins[0] - risen, (risen, begins[0]), note, half_width=100e-6)


def _offers(event: Event) -> bool:
    body = event.content.body if event.content else None
    return isinstance(body, Capabilities) and not body.sink and not body.epr and event.sender == "source"


def _answers(witness: Witness) -> Iterator[Statement]:
    """How fast requests are answered, and when they come again after a Wait."""
    contracts = witness.capture.conversation.contracts
    if not contracts:
        return
    events = {event.start_s: event for event in witness.capture.conversation.events}
    frames = witness.capture.frames

    def end(contract: Contract) -> float:
        event = events[contract.requested_s]
        return frames[event.ack].end_s if event.ack is not None else event.end_s

    delays = [(c.answered_s - end(c), end(c), c.answered_s) for c in contracts if c.answered_s is not None]
    yield from witness.extreme("request_answer_delay", delays, highest=True)
    left = [c for c in contracts if c.outcome == "unanswered" and end(c) + _PATIENCE_S < witness.end_s]
    note = "; ".join(f"{c.rdo.text} at {c.requested_s * 1e3:.3f} ms" for c in left[:5])
    yield witness.count("unanswered_requests", len(left), note)
    waits = [
        (after.requested_s - before.answered_s, before.answered_s, after.requested_s)
        for before, after in pairwise(contracts)
        if before.outcome == "wait" and before.answered_s is not None
    ]
    yield from witness.extreme("request_wait", waits, highest=False)


def _ready(witness: Witness) -> Iterator[Statement]:
    """From acceptance to power ready: slowest in each range, and quickest where VBUS goes to another fixed supply."""
    changes = [
        (contract, (contract.ready_s - contract.answered_s, contract.answered_s, contract.ready_s))
        for contract in witness.capture.conversation.contracts
        if contract.ready_s is not None and contract.answered_s is not None
    ]
    for extended in (False, True):
        here = [(span, contract) for contract, span in changes if contract.epr is extended]
        if not here:
            continue
        (delay, start, end), slow = max(here, key=lambda one: one[0][0])
        note = f"slowest of {len(here)}: {slow.text}"
        if extended:
            yield witness.says("power_ready_delay", delay, (start, end), note, at={"range": "extended"})
        else:
            yield witness.says("power_ready_delay", delay, (start, end), note)
    fixed = [span for contract, span in changes if contract.kind == "fixed"]
    yield from witness.extreme("shortest_power_ready_delay", fixed, highest=False)
