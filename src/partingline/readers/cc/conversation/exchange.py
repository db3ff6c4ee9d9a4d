"""Frames to events: GoodCRC paired with what it answers, repeats joined, chunks put together.

Source: USB PD R3.x 6.6 and 6.7 as the fact sheet restates them: GoodCRC carries the MessageID and SOP type of the
message it answers and comes within tReceive (0.9 to 1.1 ms, from memory).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from partingline.readers.cc.line.frame import Frame
from partingline.readers.cc.messages.chunks import ChunkJoiner
from partingline.readers.cc.messages.message import Capabilities, Message, decode_message
from partingline.readers.cc.messages.names import HARD_RESET, SOP
from partingline.readers.cc.messages.pdo import Pdo

ANSWER_S = 1.5e-3
"""A GoodCRC later than this answers nothing."""
REPEAT_S = 3e-3
"""The same message again within this time of its last end is a repeat."""


@dataclass(frozen=True, slots=True)
class Event:
    """One message, its repeats joined, or a reset (message None).

    `frames`: numbers of its frames, first sending first. Times are those of the last sending. `ack_delay_s`: from
    its end to the start of its GoodCRC; None when there was none. `whole`: the message put together, on the event of
    its last chunk.
    """

    start_s: float
    end_s: float
    sender: str
    sop: str
    message: Message | None
    frames: tuple[int, ...]
    ack: int | None
    ack_delay_s: float | None
    whole: Message | None = None

    @property
    def retries(self) -> int:
        """How many times it was sent again."""
        return len(self.frames) - 1

    @property
    def content(self) -> Message | None:
        """The whole message where chunks were joined, else the message itself."""
        return self.whole or self.message

    @property
    def text(self) -> str:
        """`source: Accept`."""
        content = self.content
        return f"{self.sender}: {content.text if content else self.sop}"


@dataclass(slots=True)
class _Open:
    frames: list[int]
    frame: Frame
    message: Message | None
    sender: str
    ack: int | None = None
    ack_delay_s: float | None = None
    whole: Message | None = None

    def close(self) -> Event:
        return Event(
            self.frame.start_s,
            self.frame.end_s,
            self.sender,
            self.frame.sop or "",
            self.message,
            tuple(self.frames),
            self.ack,
            self.ack_delay_s,
            self.whole,
        )


@dataclass(slots=True)
class _Pairing:
    events: list[_Open] = field(default_factory=list)
    last: dict[tuple[str, str], _Open] = field(default_factory=dict)
    pending: _Open | None = None
    stray: list[int] = field(default_factory=list)
    offered: tuple[Pdo, ...] = ()
    joiner: ChunkJoiner = field(default_factory=ChunkJoiner)

    def take(self, number: int, frame: Frame) -> None:
        if frame.sop is None or not frame.valid:
            return
        if not frame.payload:
            self._reset(number, frame)
            return
        message = decode_message(frame.payload, sop=frame.sop, offered=self.offered)
        if message.name == "GoodCRC":
            self._acknowledge(number, frame, message)
            return
        sender = sender_of(message)
        before = self.last.get((sender, frame.sop))
        if before is not None and _repeats(before, frame, message):
            before.frames.append(number)
            before.frame = frame
            self.pending = before
            return
        opened = _Open([number], frame, message, sender, whole=self.joiner.add(message))
        self.events.append(opened)
        self.last[sender, frame.sop] = self.pending = opened
        self._note_offer(opened.whole or message)

    def _reset(self, number: int, frame: Frame) -> None:
        self.events.append(_Open([number], frame, None, "unknown"))
        self.last.clear()
        self.pending = None
        self.joiner = ChunkJoiner()
        if frame.sop == HARD_RESET:
            self.offered = ()

    def _acknowledge(self, number: int, frame: Frame, message: Message) -> None:
        asked = self.pending
        self.pending = None
        if (
            asked is None
            or asked.message is None
            or asked.frame.sop != frame.sop
            or asked.message.header.message_id != message.header.message_id
            or frame.start_s - asked.frame.end_s > ANSWER_S
        ):
            self.stray.append(number)
            return
        asked.ack, asked.ack_delay_s = number, frame.start_s - asked.frame.end_s

    def _note_offer(self, message: Message) -> None:
        body = message.body
        if isinstance(body, Capabilities) and not body.sink and message.sop == SOP:
            self.offered = body.pdos


def pair_frames(frames: Iterable[Frame]) -> tuple[list[Event], list[int]]:
    """Events in time order, and the numbers of GoodCRC frames that answer nothing seen."""
    pairing = _Pairing()
    for number, frame in enumerate(frames):
        pairing.take(number, frame)
    return [opened.close() for opened in pairing.events], pairing.stray


def sender_of(message: Message) -> str:
    """`source`, `sink` or `plug`. A port that speaks to a plug is taken for the source (it feeds VCONN mostly)."""
    header = message.header
    if header.power_role is not None:
        return header.power_role
    return "plug" if header.from_plug else "source"


def _repeats(before: _Open, frame: Frame, message: Message) -> bool:
    return (
        before.message is not None
        and before.message.payload == message.payload
        and frame.start_s - before.frame.end_s < REPEAT_S
    )
