"""What a recording says of the signal on the wire: symbols, preambles, rates, gaps, levels, the end of a frame."""

from collections.abc import Iterator
from itertools import islice, pairwise

from partingline.facts.statements.captured import Witness
from partingline.model import Component, Key, Number, Route, Shape, Statement
from partingline.readers.cc.conversation.exchange import sender_of
from partingline.readers.cc.conversation.senders import Sender
from partingline.readers.cc.line.frame import Frame
from partingline.readers.cc.objects import decode_message

_PREAMBLE_BITS = 32
_MOST_RELEASES = 300
"""Frames whose end is looked at: enough to know a sender, few enough for a recording of hours."""


def line_statements(witness: Witness) -> Iterator[Statement]:
    """Everything that is read from the frames themselves; nothing of pasted messages."""
    if not witness.timed:
        return
    own = [frame for frame in _sound(witness) if _from(frame) == "source"]
    yield from _symbols(witness, own)
    for sender in witness.capture.conversation.senders:
        yield from _sender(witness, sender)
    yield from _drift(witness, own)
    yield from _gaps(witness)
    yield from _holds(witness, own)


def _sound(witness: Witness) -> list[Frame]:
    return [frame for frame in witness.capture.frames if frame.valid and frame.sop]


def _from(frame: Frame) -> str:
    return sender_of(decode_message(frame.payload, sop=frame.sop or "")) if frame.payload else "unknown"


def _symbols(witness: Witness, frames: list[Frame]) -> Iterator[Statement]:
    if not frames:
        return
    degraded = [frame for frame in frames if frame.symbols_matched < 4]
    note = ", ".join(f"{frame.sop} at {frame.start_s * 1e3:.3f} ms" for frame in degraded[:5])
    yield witness.count("degraded_ordered_sets", len(degraded), note)
    shortest = min(frames, key=lambda frame: frame.preamble_bits)
    span = (shortest.start_s, shortest.end_s)
    note = f"shortest of {len(frames)}"
    yield witness.says("preamble_length", float(shortest.preamble_bits), span, note, half_width=0.0)


def _sender(witness: Witness, sender: Sender) -> Iterator[Statement]:
    half = (sender.bit_rate_max_hz - sender.bit_rate_min_hz) / 2
    note = f"{sender.frames} frames, {sender.bit_rate_min_hz / 1e3:.2f} to {sender.bit_rate_max_hz / 1e3:.2f} kbit/s"
    yield _scattered(witness, "bit_rate", sender.name, sender.bit_rate_hz, half, note)
    recording = witness.capture.recording
    if recording is None or not all(c.known for c in recording.channels if c.name.startswith("cc")):
        return
    if sender.swing_v is not None and sender.swing_min_v is not None and sender.swing_max_v is not None:
        half = (sender.swing_max_v - sender.swing_min_v) / 2
        note = f"{sender.frames} frames, {sender.swing_min_v:.3f} to {sender.swing_max_v:.3f} V"
        yield _scattered(witness, "signal_swing", sender.name, sender.swing_v, half, note)
    if sender.low_v is not None:
        yield _scattered(witness, "signal_low", sender.name, sender.low_v, 0.0, "as recorded, ground offset included")


def _scattered(witness: Witness, quantity: str, sender: str, value: float, half: float, note: str) -> Statement:
    key = Key.of(witness.subject, quantity, sender=sender)
    number = Number(value, (Component(f"scatter:{key.id}", half, Shape.RECTANGULAR),) if half else ())
    return Statement(key, number, Route.CAPTURED, evidence=(witness.whole(),), note=note)


def _drift(witness: Witness, own: list[Frame]) -> Iterator[Statement]:
    """The largest change of rate in a frame. One sample in the 32 bits of preamble is the resolution."""
    known = [(abs(frame.rate_drift), frame) for frame in own if frame.rate_drift is not None]
    if known:
        drift, frame = max(known, key=lambda pair: pair[0])
        resolution = witness.step_s * frame.bit_rate_hz / _PREAMBLE_BITS
        note = f"largest of {len(known)} frames"
        yield witness.says("bit_rate_drift", drift, (frame.start_s, frame.end_s), note, half_width=resolution)


def _gaps(witness: Witness) -> Iterator[Statement]:
    """From the end of any frame to a frame of the source on the same wire."""
    gaps = []
    for name in ("cc1", "cc2"):
        frames = [frame for frame in witness.capture.frames if frame.channel == name]
        gaps += [
            (after.start_s - before.end_s, before.end_s, after.start_s)
            for before, after in pairwise(frames)
            if before.valid and after.valid and _from(after) == "source"
        ]
    yield from witness.extreme("inter_frame_gap", gaps, highest=False)


def _holds(witness: Witness, own: list[Frame]) -> Iterator[Statement]:
    held = (
        (hold, frame.end_s, frame.end_s + hold)
        for frame in islice(own, _MOST_RELEASES)
        if (hold := witness.capture.hold_s(frame)) is not None
    )
    values = list(held)
    yield from witness.extreme("low_hold_time", values, highest=False)
    yield from witness.extreme("longest_low_hold_time", values, highest=True)
