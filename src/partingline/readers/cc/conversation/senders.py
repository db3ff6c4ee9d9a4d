"""Who sent: bit rate, swing and levels of each sender, measured on its sound frames."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from partingline.readers.cc.conversation.exchange import sender_of
from partingline.readers.cc.line.frame import Frame
from partingline.readers.cc.messages.message import decode_message


@dataclass(frozen=True, slots=True)
class Sender:
    """`source`, `sink` or `plug`. Levels in volts, None when the recording holds no samples.

    `low_v` is the level of its low state as recorded: the ground offset between it and the recorder.
    """

    name: str
    frames: int
    bit_rate_hz: float
    bit_rate_min_hz: float
    bit_rate_max_hz: float
    low_v: float | None
    swing_v: float | None
    swing_min_v: float | None
    swing_max_v: float | None


def find_senders(frames: Sequence[Frame]) -> tuple[Sender, ...]:
    """Each sender that was heard, source, sink, plug in this order."""
    heard: dict[str, list[Frame]] = {"source": [], "sink": [], "plug": []}
    for frame in frames:
        if frame.valid and frame.payload and frame.sop:
            heard[sender_of(decode_message(frame.payload, sop=frame.sop))].append(frame)
    return tuple(_sender(name, sent) for name, sent in heard.items() if sent)


def _sender(name: str, sent: list[Frame]) -> Sender:
    rates = [frame.bit_rate_hz for frame in sent]
    lows = [frame.low_v for frame in sent if frame.low_v is not None]
    swings = [frame.swing_v for frame in sent if frame.swing_v is not None]
    return Sender(
        name=name,
        frames=len(sent),
        bit_rate_hz=fmean(rates),
        bit_rate_min_hz=min(rates),
        bit_rate_max_hz=max(rates),
        low_v=fmean(lows) if lows else None,
        swing_v=fmean(swings) if swings else None,
        swing_min_v=min(swings, default=None),
        swing_max_v=max(swings, default=None),
    )
