"""The conversation: who says what at which instant, and what VBUS and the load do meanwhile."""

import zlib
from dataclasses import dataclass, field

import numpy as np

from model.cc import packets as pd
from model.cc.packets import CABLE, PORT_TO_CABLE, SINK, SOURCE, Speaker
from model.truth import C1_OFFERS, C1_PPS

BIT_RATES = {"source": 303.4e3, "sink": 295.8e3, "cable": 300.7e3}
VBUS_ON, FIRST_WORD = 12e-3, 40e-3
SOURCE_WAITS = 28e-3  # s from Accept to the start of the move (the standard allows 25 to 35 ms)
END = 8e-3


@dataclass(frozen=True)
class Frame:
    """One packet on the line, its first bit starting at `start` seconds."""

    start: float
    speaker: Speaker
    ordered_set: str
    data: bytes

    @property
    def end(self) -> float:
        """When its last bit ends."""
        return self.start + len(pd.wire_bits(self.ordered_set, self.data)) / BIT_RATES[self.speaker.name]


@dataclass
class Talk:
    """The frames so far, the instant, the message counters, and what VBUS and the load are told to do."""

    frames: list[Frame] = field(default_factory=list)
    now: float = FIRST_WORD
    counters: dict[tuple[str, str], int] = field(default_factory=dict)
    voltage_steps: list[tuple[float, float, float]] = field(default_factory=list)  # start s, volts, volts per s
    load_steps: list[tuple[float, float]] = field(default_factory=list)  # s, amperes
    rng: np.random.Generator = field(default_factory=lambda: np.random.default_rng(zlib.crc32(b"cc talk")))

    def say(self, speaker: Speaker, hearer: Speaker, kind: int, words: list[int], sop: str = "SOP") -> Frame:
        """A message and the GoodCRC that answers it."""
        key = (speaker.name, sop)
        message_id = self.counters.get(key, 0)
        self.counters[key] = (message_id + 1) % 8
        frame = self._put(speaker, sop, pd.payload(pd.header(kind, len(words), message_id, speaker), words))
        self.now = frame.end + self.rng.uniform(55e-6, 95e-6)
        answer = self._put(hearer, sop, pd.payload(pd.header(pd.GOOD_CRC, 0, message_id, hearer)))
        self.now = answer.end
        return frame

    def _put(self, speaker: Speaker, sop: str, data: bytes) -> Frame:
        frame = Frame(self.now, speaker, sop, data)
        self.frames.append(frame)
        return frame

    def wait(self, seconds: float) -> None:
        """Let time pass, with the few per cent of unevenness that firmware has."""
        self.now += seconds * self.rng.uniform(0.97, 1.03)

    def contract(self, request: int, volts: float, amperes: float, waits: float, ready: float) -> None:
        """Request, Accept, the move of VBUS, PS_RDY `ready` seconds after the Accept; then the load follows."""
        self.load_steps.append((self.now, 0.1))
        self.say(SINK, SOURCE, pd.REQUEST, [request])
        self.wait(2.6e-3)
        accept = self.say(SOURCE, SINK, pd.ACCEPT, [])
        self.voltage_steps.append((accept.end + waits, volts, 1200.0))
        self.now = accept.end + ready
        self.say(SOURCE, SINK, pd.PS_RDY, [])
        self.load_steps.append((self.now + 1.5e-3, amperes))


def capabilities() -> list[int]:
    """The objects of C1 with nothing on A1: unconstrained power is told in the first."""
    fixed = [
        pd.fixed_object(offer.voltage, offer.current, flags=0 if k else 1 << 27) for k, offer in enumerate(C1_OFFERS)
    ]
    return [*fixed, pd.pps_object(*C1_PPS)]


def attach_talk() -> Talk:
    """From VBUS on to a 15 V contract: cable, capabilities, 20 V, revision, a programmable stretch, 15 V."""
    talk = Talk(voltage_steps=[(VBUS_ON, 5.0, 1500.0)])
    talk.say(PORT_TO_CABLE, CABLE, pd.VENDOR_DEFINED, pd.discover_identity(), "SOP'")
    talk.wait(2.2e-3)
    talk.say(CABLE, PORT_TO_CABLE, pd.VENDOR_DEFINED, pd.cable_identity(), "SOP'")
    talk.wait(9e-3)
    talk.say(SOURCE, SINK, pd.SOURCE_CAPABILITIES, capabilities())
    talk.wait(3.4e-3)
    talk.contract(pd.fixed_request(4, 3.25), 20.0, 1.5, SOURCE_WAITS, 58e-3)
    talk.wait(14e-3)
    talk.say(SINK, SOURCE, pd.GET_REVISION, [])
    talk.wait(3.0e-3)
    talk.say(SOURCE, SINK, pd.REVISION, pd.revision_words())
    talk.wait(9e-3)
    talk.contract(pd.pps_request(5, 9.0, 3.0), 9.0, 2.0, SOURCE_WAITS, 55e-3)
    for volts in (9.4, 9.8, 9.6):
        talk.wait(12e-3)
        talk.contract(pd.pps_request(5, volts, 3.0), volts, 2.0, 1.5e-3, 15e-3)
    talk.wait(12e-3)
    talk.contract(pd.fixed_request(3, 2.4), 15.0, 2.0, SOURCE_WAITS, 48e-3)
    talk.now += END
    return talk
