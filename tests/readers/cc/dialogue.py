"""A whole conversation as a transmitter model would send it: messages with their GoodCRC, at given times."""

from __future__ import annotations

from dataclasses import dataclass, field

from tests.readers.cc.transmitter import Line, Sent, packet_bits, with_rate
from tests.readers.cc.worked import BY_NAME


@dataclass
class Dialogue:
    """Collects transmissions. The two ends differ in bit rate and ground offset, as on a bench."""

    line: Line = field(default_factory=Line)
    sink_line: Line | None = None
    sent: list[Sent] = field(default_factory=list)
    now_s: float = 1e-3

    def say(
        self, payload: bytes, *, after_s: float = 2e-3, sop: str = "SOP", ack: bool = True, times: int = 1
    ) -> float:
        """Send a message (`times` in all, only the last acknowledged); returns the end of its last bit."""
        self.now_s += after_s
        end = self.now_s
        for _ in range(times):
            end = self._send(payload, sop)
            self.now_s = end + 1.2e-3
        if ack:
            self.now_s = end + 60e-6
            self._send(good_crc(payload, sop), sop)
        return end

    def reset(self, *, after_s: float = 5e-3) -> float:
        self.now_s += after_s
        return self._send(b"", "Hard Reset")

    def _send(self, payload: bytes, sop: str) -> float:
        bits = packet_bits(payload, sop=sop)
        from_sink = sop == "SOP" and len(payload) > 1 and not payload[1] & 1
        line = self.sink_line if from_sink and self.sink_line else self.line
        self.sent.append(Sent(self.now_s, bits, line))
        self.now_s += len(bits) / line.bit_rate_hz
        return self.now_s


def good_crc(payload: bytes, sop: str) -> bytes:
    """The answer: same id and revision, the other end's roles."""
    head = int.from_bytes(payload[:2], "little")
    answer = 1 | head & 0x0EC0 | (head & 0x0100 ^ 0x0100)
    if sop == "SOP":
        answer |= head & 0x20 ^ 0x20
    return answer.to_bytes(2, "little")


def payload(name: str) -> bytes:
    return BY_NAME[name].packet[:-4]


def head(kind: int, message_id: int, *, source: bool, objects: int = 0, extended: bool = False) -> int:
    """A header of revision 3.x; the source is DFP."""
    return extended << 15 | objects << 12 | message_id << 9 | source << 8 | 2 << 6 | source << 5 | kind


def message(kind: int, message_id: int, *, source: bool, words: tuple[int, ...] = ()) -> bytes:
    first = head(kind, message_id, source=source, objects=len(words)).to_bytes(2, "little")
    return first + b"".join(word.to_bytes(4, "little") for word in words)


def sixty_five_watt(line: Line) -> Dialogue:
    """Cable asked, list offered, 20 V 3.25 A agreed, then a PPS contract, then a hard reset."""
    talk = Dialogue(line, with_rate(line, 0.92 * line.bit_rate_hz))
    talk.say(payload("V8"), sop="SOP'")
    talk.say(payload("V9"), sop="SOP'")
    talk.say(payload("V2"))
    talk.say(payload("V3"))
    talk.say(payload("V4"))
    talk.say(payload("V5"), after_s=30e-3)
    talk.say(payload("V6"), after_s=10e-3, times=2)
    talk.say(message(3, 3, source=True))
    talk.say(message(6, 4, source=True), after_s=20e-3)
    talk.reset()
    return talk
