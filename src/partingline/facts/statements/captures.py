"""What a recording of the wire says: the offers of a port, and how the two ends kept their times and rates."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import PurePosixPath

from partingline.facts.statements.offers import offer_from_object
from partingline.model import Component, Evidence, Key, Number, OfferList, Port, Route, Samples, Shape, Statement, Text
from partingline.readers.cc import Capture
from partingline.readers.folder import Folder

Captures = Mapping[str, Capture]


def captured_ports(
    ports: tuple[Port, ...], captures: Captures, told: Mapping[str, str], folder: Folder
) -> tuple[Port, ...]:
    """The ports with the offers that were seen on the wire added to those that were typed; `told` is the port that a
    recording names."""
    seen: dict[str, list[OfferList]] = {}
    for name, capture in captures.items():
        if (port := port_of(name, ports, told.get(name, ""))) is not None:
            seen.setdefault(port, []).extend(_offer_lists(name, capture, folder))
    return tuple(replace(port, offer_lists=(*seen.get(port.id, ()), *port.offer_lists)) for port in ports)


def port_of(name: str, ports: tuple[Port, ...], told: str = "") -> str | None:
    """The port that a recording belongs to: the one that it tells, that its file name holds, or the only one."""
    if told:
        return next((port.id for port in ports if port.id.casefold() == told.casefold()), None)
    words = re.split(r"[^a-z0-9]+", PurePosixPath(name).stem.casefold())
    named = [port.id for port in ports if port.id.casefold() in words]
    if named:
        return named[0]
    return ports[0].id if len(ports) == 1 else None


def capture_statements(captures: Captures, folder: Folder) -> Iterator[Statement]:
    """Rates, delays and faults of every recording, as `capture:NAME/...`."""
    for name, capture in captures.items():
        if capture.kind == "unreadable":
            continue
        subject = f"capture:{subject_name(name)}"
        yield from _rates(subject, name, capture, folder)
        yield from _times(subject, name, capture, folder)
        yield from _counts(subject, name, capture, folder)


def subject_name(name: str) -> str:
    """`captures/c1-attach.sigmf-meta` is `c1-attach`."""
    return PurePosixPath(name).name.removesuffix(".sigmf-meta").rpartition("/")[2].partition(".")[0]


def at_time(folder: Folder, name: str, capture: Capture, start_s: float, end_s: float) -> Evidence:
    """A pointer to the samples between two times; to the data file of a SigMF pair."""
    data = name.replace(".sigmf-meta", ".sigmf-data")
    rate = capture.rate_hz or 0.0
    return folder.evidence(data, Samples(round(start_s * rate), round(end_s * rate), start_s))


def _offer_lists(name: str, capture: Capture, folder: Folder) -> Iterator[OfferList]:
    cable = capture.conversation.cable
    current = cable.current_a if cable is not None else None
    for offer in capture.conversation.offers:
        offers = tuple(
            offer_from_object(position, pdo)
            for position, pdo in enumerate(offer.pdos, 1)
            if pdo.kind not in ("empty", "reserved")
        )
        yield OfferList(offers, True, current, at_time(folder, name, capture, offer.first_s, offer.first_s + 1e-3))


def _rates(subject: str, name: str, capture: Capture, folder: Folder) -> Iterator[Statement]:
    for sender in capture.conversation.senders:
        half = (sender.bit_rate_max_hz - sender.bit_rate_min_hz) / 2
        key = Key.of(subject, "bit_rate", sender=sender.name)
        value = Number(sender.bit_rate_hz, (Component(f"scatter:{key.id}", half, Shape.RECTANGULAR),) if half else ())
        note = (
            f"{sender.frames} frames, {sender.bit_rate_min_hz / 1e3:.2f} to {sender.bit_rate_max_hz / 1e3:.2f} kbit/s"
        )
        yield Statement(key, value, Route.CAPTURED, evidence=(folder.evidence(name),), note=note)


def _times(subject: str, name: str, capture: Capture, folder: Folder) -> Iterator[Statement]:
    if not capture.rate_hz:
        return
    talk = capture.conversation
    acknowledged = [event for event in talk.events if event.ack_delay_s is not None]
    if acknowledged:
        slowest = max(acknowledged, key=lambda event: event.ack_delay_s or 0.0)
        where = at_time(folder, name, capture, slowest.start_s, slowest.end_s)
        yield _timed(
            subject, "goodcrc_delay", slowest.ack_delay_s or 0.0, capture, where, f"slowest of {len(acknowledged)}"
        )
    ready = [c for c in talk.contracts if c.ready_s is not None and c.answered_s is not None]
    if ready:
        slow = max(ready, key=lambda c: (c.ready_s or 0.0) - (c.answered_s or 0.0))
        where = at_time(folder, name, capture, slow.answered_s or 0.0, slow.ready_s or 0.0)
        delay = (slow.ready_s or 0.0) - (slow.answered_s or 0.0)
        yield _timed(subject, "power_ready_delay", delay, capture, where, f"slowest of {len(ready)}: {slow.text}")
    for contract in ready:
        if contract.vbus is not None and contract.voltage_v is not None and contract.kind == "fixed":
            where = at_time(folder, name, capture, contract.ready_s or 0.0, (contract.ready_s or 0.0) + 1e-3)
            key = Key.of(subject, "port_voltage", offer=contract.voltage_v, state="power ready")
            yield Statement(
                key, Number(contract.vbus.at_ready_v), Route.CAPTURED, evidence=(where,), note="VBUS at PS_RDY"
            )


def _timed(subject: str, quantity: str, value: float, capture: Capture, where: Evidence, note: str) -> Statement:
    key = Key.of(subject, quantity)
    step = Component(f"sampling:{key.id}", 1 / (capture.rate_hz or 1.0), Shape.RECTANGULAR)
    return Statement(key, Number(value, (step,)), Route.CAPTURED, evidence=(where,), note=note)


def _counts(subject: str, name: str, capture: Capture, folder: Folder) -> Iterator[Statement]:
    whole = (folder.evidence(name),)
    damaged = [frame for frame in capture.frames if not frame.valid]
    reasons = ", ".join(sorted({frame.reason or "" for frame in damaged}))
    retries = max((event.retries for event in capture.conversation.events), default=0)
    yield Statement(
        Key.of(subject, "damaged_frames"), Number(float(len(damaged))), Route.CAPTURED, evidence=whole, note=reasons
    )
    yield Statement(Key.of(subject, "retry_count"), Number(float(retries)), Route.CAPTURED, evidence=whole)
    if capture.conversation.revision:
        revision = Text(capture.conversation.revision)
        yield Statement(Key.of(subject, "pd_revision"), revision, Route.CAPTURED, evidence=whole)
    cable = capture.conversation.cable
    if cable is not None and cable.current_a is not None:
        key = Key.of(subject, "cable_current")
        yield Statement(key, Number(cable.current_a), Route.CAPTURED, evidence=whole, note="answer of the cable's plug")
