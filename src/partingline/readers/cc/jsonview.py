"""A capture as plain dictionaries, for `--json` and for other programs. SCHEMA changes when a field changes meaning.

Fields: `file`, `kind`, `rate_hz`, `duration_s`, `channels`, `frames` (see `frame_view`), `contracts` (see
`contract_view`), `offers`, `senders`, `conversation` (cable, revision, modes and what else was said), `problems`.
Times in seconds from the start of the recording, SI units; what is not known is null.
"""

from __future__ import annotations

import dataclasses
import math
from typing import Any, Final

from partingline.readers.cc.capture import Capture
from partingline.readers.cc.conversation.contracts import Contract, Offer
from partingline.readers.cc.conversation.exchange import Event
from partingline.readers.cc.line.frame import Frame
from partingline.readers.cc.messages.pdo import Pdo
from partingline.readers.cc.messages.pdo_words import encode_pdo

SCHEMA: Final = "partingline.cc/1"
_FRAME_RATES, _FRAME_LEVELS = ("bit_rate_hz", "rate_drift", "symbols_matched", "preamble_bits"), ("low_v", "high_v")
_SENDER_RATES = ("bit_rate_hz", "bit_rate_min_hz", "bit_rate_max_hz")
_SENDER_LEVELS = ("low_v", "swing_v", "swing_min_v", "swing_max_v")


def capture_view(capture: Capture) -> dict[str, Any]:
    """The whole capture; every value is JSON."""
    talk = capture.conversation
    heard = {number: event for event in talk.events for number in event.frames}
    left_out = _without(capture, _FRAME_RATES, _FRAME_LEVELS)
    answers = {event.ack: event for event in talk.events if event.ack is not None}
    return {
        "schema": SCHEMA,
        "file": capture.path.name,
        "kind": capture.kind,
        "rate_hz": capture.rate_hz,
        "duration_s": capture.duration_s,
        "channels": list(capture.channels),
        "frames": [
            {**frame_view(frame, event=heard.get(i), answers=answers.get(i)), **left_out}
            for i, frame in enumerate(capture.frames)
        ],
        "offers": [offer_view(offer) for offer in talk.offers],
        "contracts": [contract_view(contract) for contract in talk.contracts],
        "senders": [{**plain(sender), **_without(capture, _SENDER_RATES, _SENDER_LEVELS)} for sender in talk.senders],
        "conversation": {
            "revision": talk.revision,
            "cable": plain(talk.cable),
            "cable_identity": plain(talk.cable_identity),
            "partners": plain(talk.partners),
            "sink_capabilities": plain(talk.sink_capabilities),
            "revisions": plain(talk.revisions),
            "source_infos": plain(talk.source_infos),
            "source_extended": plain(talk.source_extended),
            "alerts": plain(talk.alerts),
            "pps_statuses": plain(talk.pps_statuses),
            "epr_sessions": plain(talk.epr_sessions),
            "modes": plain(talk.modes),
            "resets": plain(talk.resets),
            "stray_acks": list(talk.stray_acks),
        },
        "pasted_offers": [pdo_view(pdo) for pdo in capture.pasted_offers],
        "problems": [plain(problem) for problem in capture.problems],
    }


def _without(capture: Capture, rates: tuple[str, ...], levels: tuple[str, ...]) -> dict[str, None]:
    """Fields that are not known: what is measured on a wire where messages were pasted, levels without a scale."""
    return dict.fromkeys((*(() if capture.timed else rates), *(() if capture.in_volts else levels)))


def frame_view(frame: Frame, *, event: Event | None = None, answers: Event | None = None) -> dict[str, Any]:
    """One frame: `t_s`, `sop`, `valid`, `reason`, `payload` (header and data as hex), `type`, `sender`, `fields`."""
    message = event.message if event else None
    content = event.content if event else None
    kind = message.name if message else None
    if kind is None and frame.valid:
        kind = "GoodCRC" if frame.payload else frame.sop
    first = event is not None and event.message is not None
    return {
        "t_s": frame.start_s,
        "end_s": frame.end_s,
        "channel": frame.channel,
        "sop": frame.sop,
        "valid": frame.valid,
        "reason": frame.reason,
        "payload": frame.payload.hex(),
        "type": kind,
        "sender": event.sender if event else None,
        "acknowledges": answers.message.name if answers and answers.message else None,
        "text": content.text if content else kind,
        "header": plain(message.header) if message else None,
        "fields": plain(content.body) if first and content else None,
        "fault": content.fault if content else None,
        "bit_rate_hz": frame.bit_rate_hz or None,
        "rate_drift": frame.rate_drift,
        "symbols_matched": frame.symbols_matched,
        "preamble_bits": frame.preamble_bits,
        "low_v": frame.low_v,
        "high_v": frame.high_v,
    }


def offer_view(offer: Offer) -> dict[str, Any]:
    """One list of offers."""
    return {
        "first_s": offer.first_s,
        "last_s": offer.last_s,
        "count": offer.count,
        "epr": offer.epr,
        "revision": offer.revision,
        "pdos": [pdo_view(pdo) for pdo in offer.pdos],
    }


def contract_view(contract: Contract) -> dict[str, Any]:
    """One contract, with what it works out to."""
    return {
        **plain(contract),
        "text": contract.text,
        "kind": contract.kind,
        "voltage_v": contract.voltage_v,
        "current_a": contract.current_a,
        "power_w": contract.power_w,
        "pdo": pdo_view(contract.pdo) if contract.pdo else None,
    }


def pdo_view(pdo: Pdo) -> dict[str, Any]:
    """One object: kind, text, word as hex, and its fields."""
    return {"kind": pdo.kind, "text": pdo.text, "word": f"{encode_pdo(pdo):08x}", **plain(pdo)}


def plain(value: Any) -> Any:
    """Any value of this package as JSON: dataclasses by field (and `kind`, `text`), bytes as hex, no number as null."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = {f.name: plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
        told = {name: getattr(value, name, None) for name in ("kind", "text")}
        return {**fields, **{name: said for name, said in told.items() if isinstance(said, str)}}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if isinstance(value, bytes):
        return value.hex()
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
