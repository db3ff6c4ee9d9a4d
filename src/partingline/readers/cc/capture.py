"""A recording read as a whole: frames, the conversation, VBUS beside it, and what was wrong with the file."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from partingline.readers.cc.conversation.contracts import Contract, in_force
from partingline.readers.cc.conversation.recovery import level_crossings, measure_recovery
from partingline.readers.cc.conversation.release import measure_hold
from partingline.readers.cc.conversation.story import Conversation, tell
from partingline.readers.cc.conversation.vbus import HELD_S, SAFE_5V, Envelope, envelope, measure_vbus
from partingline.readers.cc.inputs.hexmessages import PastedMessage, PastedOffers, parse_hex
from partingline.readers.cc.inputs.opening import HEX_SUFFIXES, LOGIC_SUFFIX, open_recording
from partingline.readers.cc.inputs.recording import CC_NAMES, Channel, Options, Recording
from partingline.readers.cc.inputs.vcd import edge_batches, read_head
from partingline.readers.cc.line.decoder import PIECE, Scale, decode_edges, decode_stream
from partingline.readers.cc.line.frame import Frame
from partingline.readers.cc.messages.crc import crc_bytes
from partingline.readers.cc.messages.names import HARD_RESET
from partingline.readers.cc.messages.pdo import Pdo
from partingline.readers.cc.problem import Problem, UnreadableError

_MOST_BYTES = 1 << 26
"""Of a recording read at a time, all its channels together."""


@dataclass(frozen=True, slots=True)
class Capture:
    """What a file holds. `rate_hz` and `duration_s` are None for files without samples.

    `pasted_offers`: object words of a hex file that stood alone.
    """

    path: Path
    kind: str
    rate_hz: float | None
    duration_s: float | None
    channels: tuple[str, ...]
    frames: tuple[Frame, ...]
    conversation: Conversation
    problems: tuple[Problem, ...]
    pasted_offers: tuple[Pdo, ...] = ()
    recording: Recording | None = None

    @property
    def in_volts(self) -> bool:
        """Whether levels of the wire are volts; else they are counts, or none were recorded."""
        wires = [one for one in self.recording.channels if one.name in CC_NAMES] if self.recording else []
        return bool(wires) and all(one.known for one in wires)

    @property
    def timed(self) -> bool:
        """Whether frames have times and rates; pasted messages have none."""
        return self.kind not in ("hex", "unreadable")

    def levels(self, channel: str, start_s: float, stop_s: float, points: int) -> Envelope | None:
        """Lowest, highest and mean value of a channel in about `points` bins; None when it was not recorded."""
        found = self.recording.channel(channel) if self.recording else None
        if self.recording is None or found is None:
            return None
        return envelope(self.recording, found, start_s, stop_s, (stop_s - start_s) / max(1, points))

    def crossings(self, channel: str, level: float) -> tuple[tuple[float, bool], ...]:
        """(time, rising) of every crossing of a level; reads the whole channel. Empty when it was not recorded."""
        found = self.recording.channel(channel) if self.recording else None
        if self.recording is None or found is None:
            return ()
        return tuple(level_crossings(self.recording, found, level))

    def hold_s(self, frame: Frame) -> float | None:
        """How long the sender of a frame held the wire low behind it; None where it cannot be seen."""
        return measure_hold(self.recording, frame) if self.recording else None


def read_capture(path: Path | str, options: Options | None = None) -> Capture:
    """Read a recording or a file of hex messages. Never raises for a broken file: see `problems`."""
    path, options = Path(path), options or Options()
    try:
        suffix = path.suffix.lower()
        if suffix in HEX_SUFFIXES:
            return read_hex(path.read_text("utf-8", "replace"), path=path)
        return _read_logic(path, options) if suffix == LOGIC_SUFFIX else _read_samples(path, options)
    except UnreadableError as fault:
        return Capture(path, "unreadable", None, None, (), (), tell(()), fault.problems)
    except OSError as fault:
        problem = Problem(path.name, fault.strerror or str(fault), "a readable file", "Check the path.")
        return Capture(path, "unreadable", None, None, (), (), tell(()), (problem,))


def read_hex(text: str, *, path: Path = Path("pasted")) -> Capture:
    """Read pasted messages. They carry no time: each is put 1 ms after the one before."""
    found, problems = parse_hex(text)
    frames = [_pasted_frame(item, i) for i, item in enumerate(found) if isinstance(item, PastedMessage)]
    offers = tuple(pdo for item in found if isinstance(item, PastedOffers) for pdo in item.pdos)
    return Capture(path, "hex", None, None, (), tuple(frames), tell(frames), tuple(problems), offers)


def _pasted_frame(item: PastedMessage, number: int) -> Frame:
    reason = "wrong CRC" if item.crc_holds is False else None
    crc = int.from_bytes(crc_bytes(item.payload), "little") if item.crc_holds else None
    at = number * 1e-3
    return Frame(at, at, item.sop, item.payload, reason, crc, 0.0, None, 4, 64, None, None, "pasted")


def _read_logic(path: Path, options: Options) -> Capture:
    head = read_head(path, options)
    frames = [frame for name, times in edge_batches(path, head) for frame in decode_edges(times, channel=name)]
    frames.sort(key=lambda frame: frame.start_s)
    channels = tuple(head.wires.values())
    last = frames[-1].end_s if frames else None
    return Capture(path, "VCD", None, last, channels, tuple(frames), tell(frames), ())


def _read_samples(path: Path, options: Options) -> Capture:
    recording = open_recording(path, options)
    frames = sorted(_frames(recording), key=lambda frame: frame.start_s)
    conversation = tell(frames)
    if recording.channel("vbus"):
        conversation = _beside_vbus(recording, conversation)
    return Capture(
        path=path,
        kind=recording.kind,
        rate_hz=recording.rate_hz,
        duration_s=recording.duration_s,
        channels=tuple(channel.name for channel in recording.channels),
        frames=tuple(frames),
        conversation=conversation,
        problems=recording.problems + _scale_problems(recording) + (() if frames else _silence(recording)),
        recording=recording,
    )


def _frames(recording: Recording) -> Iterator[Frame]:
    most = min(PIECE, _MOST_BYTES // max(1, recording.raw(0, 1).nbytes))
    for channel in recording.channels:
        if channel.name in CC_NAMES:
            yield from decode_stream(
                partial(recording.read, channel),
                recording.length,
                rate_hz=recording.rate_hz,
                scale=Scale(channel.scale, channel.offset, channel.known),
                channel=channel.name,
                most=most,
            )


def _beside_vbus(recording: Recording, conversation: Conversation) -> Conversation:
    vbus = recording.channel("vbus")
    resets = tuple(
        replace(reset, vbus=measure_recovery(recording, vbus, reset_end_s=reset.end_s))
        if vbus and reset.kind == HARD_RESET
        else reset
        for reset in conversation.resets
    )
    changes = [reset.time_s for reset in conversation.resets]
    changes += [contract.answered_s for contract in conversation.contracts if contract.answered_s is not None]
    contracts = tuple(
        _with_held(recording, contract, conversation.contracts, changes)
        if contract.outcome in ("rejected", "wait")
        else _with_vbus(recording, contract, changes)
        for contract in conversation.contracts
    )
    return replace(conversation, contracts=contracts, resets=resets)


def _with_vbus(recording: Recording, contract: Contract, changes: list[float]) -> Contract:
    vbus, volts = recording.channel("vbus"), contract.voltage_v
    if vbus is None or volts is None or contract.answered_s is None or contract.ready_s is None:
        return contract
    until = min((time for time in changes if time > contract.ready_s), default=math.inf)
    measured = measure_vbus(
        recording, vbus, accepted_s=contract.answered_s, ready_s=contract.ready_s, target_v=volts, until_s=until
    )
    return replace(contract, vbus=measured)


def _with_held(
    recording: Recording, refused: Contract, contracts: Sequence[Contract], changes: list[float]
) -> Contract:
    """VBUS behind a refusal beside the contract in force, or beside 5 V where VBUS is there before any contract."""
    vbus, at_s = recording.channel("vbus"), refused.answered_s
    if vbus is None or at_s is None:
        return refused
    running = in_force(contracts, at_s)
    volts = 5.0 if running is None else running.voltage_v
    until = min((time for time in changes if time > at_s), default=math.inf)
    if volts is None:
        return refused
    held = measure_vbus(recording, vbus, accepted_s=at_s, ready_s=at_s, target_v=volts, until_s=until, after_s=HELD_S)
    known = held is not None and (running is not None or SAFE_5V[0] <= held.before_v <= SAFE_5V[1])
    return replace(refused, held=held) if known else refused


def _silence(recording: Recording) -> tuple[Problem, ...]:
    """Where no frame was found: the levels that were seen instead."""
    return tuple(
        Problem(
            f"{recording.path.name}, {channel.name}",
            f"no frame: the channel lies between {low:.4g} and {high:.4g} {'V' if channel.known else 'counts'}",
            "bursts of 270 to 330 kbit/s that swing by 1.05 to 1.2 V",
            "Check probe, channel, sample rate and scale.",
        )
        for channel in recording.channels
        if channel.name in CC_NAMES
        for low, high in _range(recording, channel)
    )


def _range(recording: Recording, channel: Channel) -> Iterator[tuple[float, float]]:
    whole = envelope(recording, channel, 0.0, recording.duration_s, recording.duration_s or 1.0)
    if len(whole.low):
        yield float(whole.low.min()), float(whole.high.max())


def _scale_problems(recording: Recording) -> tuple[Problem, ...]:
    unknown = [channel.name for channel in recording.channels if not channel.known]
    if not unknown:
        return ()
    return (
        Problem(
            recording.path.name,
            f"no scale for {', '.join(unknown)}",
            "volts a count, to tell levels and to know noise from signal",
            "State partingline:scale_v in SigMF metadata, or give the scale as an option (--scale).",
        ),
    )
