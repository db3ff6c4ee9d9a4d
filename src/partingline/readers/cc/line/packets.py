"""Bits to packets: the ordered set, the bytes behind it, the CRC and the end."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.line.segments import Segments
from partingline.readers.cc.line.symbols import BYTE_OF_CODES, EOP, RESETS, SET_OF_CODE, match_ordered_set
from partingline.readers.cc.messages.crc import crc_holds

PREAMBLE_BITS = 64
LEAST_PREAMBLE = 12
"""Alternating bits that must stand before an ordered set."""
RESET_PREAMBLE, RESET_PREAMBLE_3_OF_4 = 32, 56
"""The same before a reset, whole or with one symbol wrong."""
_BITS_OF_RELEASE = 6
"""What the edges of letting go of the line can look like."""
_HEAD_BITS = 20 + 20


class Packet(NamedTuple):
    """A packet in a stretch of bits. Bit numbers count from its first bit; `stop` is after the last."""

    sop: str | None
    matched: int
    set_bit: int
    stop: int
    data: bytes
    preamble_bits: int
    reason: str | None


def read_packets(segments: Segments) -> list[Packet]:
    """One packet to each stretch, sound or with its reason."""
    bits, starts = segments.bits, segments.bit_start
    words = _windows(bits)
    set_bit = _ordered_set_bits(bits, starts)
    room = starts[1:] - set_bit
    lengths, values, ends = _bulk_bytes(words, set_bit, room)
    codes = (_take(words, set_bit) & 0xFFFFF).tolist()
    begins, blob = starts.tolist(), values.tobytes()
    found = []
    for i, (at, length, end) in enumerate(zip(set_bit.tolist(), lengths.tolist(), ends.tolist(), strict=True)):
        begin = begins[i]
        sop = SET_OF_CODE.get(codes[i]) if length else None
        data = blob[end - length : end]
        if sop is not None and sop not in RESETS and crc_holds(data):
            found.append(Packet(sop, 4, at - begin, at - begin + 25 + 10 * length, data, at - begin, None))
        else:
            found.append(read_packet(bits[begin : begins[i + 1]]))
    return found


def places(packets: list[Packet]) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Of each packet the bit that begins its ordered set, and the one behind its last."""
    table = np.array([packet[2:4] for packet in packets], np.int64).reshape(-1, 2)
    return table[:, 0], table[:, 1]


def read_packet(bits: npt.NDArray[np.uint8]) -> Packet:
    """One packet, bit by bit, telling what is wrong with it. Slower; for what the quick way leaves."""
    words = _windows(bits)
    at, matched, sop = _search_set(words, len(bits))
    if sop is None:
        preamble = _longest_alternation(bits)
        reason = "no ordered set after the preamble" if preamble >= LEAST_PREAMBLE else "no preamble"
        return Packet(None, matched, at, len(bits), b"", preamble, reason)
    preamble = _alternating_before(bits, at)
    if preamble < LEAST_PREAMBLE:
        reason = f"preamble of {preamble} bits before {sop}: expected 64, at least {LEAST_PREAMBLE}"
        return Packet(sop, matched, at, len(bits), b"", preamble, reason)
    if sop in RESETS:
        fault = _reset_fault(sop, matched, preamble, len(bits) - at - 20)
        return Packet(sop, matched, at, at + 20, b"", preamble, fault)
    data, stop, fault = _read_data(words, at + 20, len(bits))
    fault = fault or _crc_fault(data)
    return Packet(sop, matched, at, stop, data, preamble, fault)


def _reset_fault(sop: str, matched: int, preamble: int, behind: int) -> str | None:
    """A reset has no CRC to prove it: it must stand alone behind most of a preamble."""
    least = RESET_PREAMBLE if matched == 4 else RESET_PREAMBLE_3_OF_4
    if preamble < least:
        return f"preamble of {preamble} bits before {sop}: expected 64, at least {least}"
    if behind > _BITS_OF_RELEASE:
        return f"{behind} bits after {sop}: expected none"
    return None


def _crc_fault(data: bytes) -> str | None:
    if len(data) < 6:
        return f"{len(data)} bytes before the end: expected a header and a CRC, 6 at least"
    if crc_holds(data):
        return None
    return "wrong CRC"


def _read_data(words: npt.NDArray[np.uint32], at: int, length: int) -> tuple[bytes, int, str | None]:
    data = bytearray()
    while at + 5 <= length:
        code = int(words[at >> 3]) >> (at & 7)
        if code & 31 == EOP:
            return bytes(data), at + 5, None
        if at + 10 > length:
            break
        value = int(BYTE_OF_CODES[code & 1023])
        if value < 0:
            if code >> 5 & 31 == EOP:
                return bytes(data), at + 10, f"end in the middle of byte {len(data)}"
            return bytes(data), length, f"invalid symbol in byte {len(data)}"
        data.append(value)
        at += 10
    return bytes(data), length, f"cut short after {len(data)} bytes: no end of packet"


def _search_set(words: npt.NDArray[np.uint32], length: int) -> tuple[int, int, str | None]:
    """The first place where an ordered set stands behind alternating bits; whole matches first."""
    partial: tuple[int, int, str | None] = (max(0, min(length, PREAMBLE_BITS)), 0, None)
    for at in range(LEAST_PREAMBLE // 2, min(length - 19, 3 * PREAMBLE_BITS)):
        code = int(words[at >> 3]) >> (at & 7) & 0xFFFFF
        if code in SET_OF_CODE:
            return at, 4, SET_OF_CODE[code]
        if partial[2] is None and _preamble_like(words, at):
            name, matched = match_ordered_set(code)
            partial = (at, matched, name) if name else partial
    return partial


def _preamble_like(words: npt.NDArray[np.uint32], at: int) -> bool:
    """Eight alternating bits, the last one 1, right before `at`."""
    before = at - 8
    return before >= 0 and int(words[before >> 3]) >> (before & 7) & 0xFF == 0xAA


def _alternating_before(bits: npt.NDArray[np.uint8], at: int) -> int:
    """How many bits before `at` alternate and end in 1."""
    if at == 0 or at > len(bits) or bits[at - 1] != 1:
        return 0
    same = np.flatnonzero(bits[1:at] == bits[: at - 1])
    return int(at - 1 - same[-1]) if same.size else at


def _longest_alternation(bits: npt.NDArray[np.uint8]) -> int:
    breaks = np.flatnonzero(bits[1:] == bits[:-1]) + 1
    return int(np.diff(np.concatenate(([0], breaks, [len(bits)]))).max())


def _windows(bits: npt.NDArray[np.uint8]) -> npt.NDArray[np.uint32]:
    """At every eighth bit the 32 bits from there on, the first bit lowest; zeros follow the end."""
    packed = np.concatenate((np.packbits(bits, bitorder="little"), np.zeros(8, np.uint8)))
    view = np.lib.stride_tricks.as_strided(packed, shape=(len(packed) - 4, 4), strides=(1, 1))
    return np.ascontiguousarray(view).view("<u4").ravel()


def _take(words: npt.NDArray[np.uint32], at: npt.NDArray[np.int64]) -> npt.NDArray[np.uint32]:
    shift: npt.NDArray[np.uint32] = (at & 7).astype(np.uint32)
    taken: npt.NDArray[np.uint32] = words[np.minimum(at >> 3, len(words) - 1)] >> shift
    return taken


def _ordered_set_bits(bits: npt.NDArray[np.uint8], starts: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    """Where the alternation of each preamble ends: two zeros begin SOP, two ones begin before a reset."""
    same = np.flatnonzero(bits[1:] == bits[:-1])
    if same.size == 0:
        return starts[1:].copy()
    found = same[np.minimum(np.searchsorted(same, starts[:-1] + PREAMBLE_BITS // 2), same.size - 1)]
    at: npt.NDArray[np.int64] = np.minimum(found + bits[found], starts[1:])
    return at


def _bulk_bytes(
    words: npt.NDArray[np.uint32], set_bit: npt.NDArray[np.int64], room: npt.NDArray[np.int64]
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.uint8], npt.NDArray[np.int64]]:
    """Bytes of packets whose header, symbols and end agree: how many each (0: the slow way), all, ends."""
    header = BYTE_OF_CODES[_take(words, set_bit + 30) & 1023]
    lengths = 6 + 4 * (header.astype(np.int64) >> 4 & 7)
    end = _HEAD_BITS // 2 + 10 * lengths
    ended = _take(words, set_bit + end) & 31 == EOP
    lengths[(header < 0) | (end + 5 > room) | ~ended] = 0
    ends = np.cumsum(lengths)
    number = np.arange(int(ends[-1]) if ends.size else 0) - np.repeat(ends - lengths, lengths)
    values = BYTE_OF_CODES[_take(words, np.repeat(set_bit + 20, lengths) + 10 * number) & 1023]
    wrong = np.concatenate(([0], np.cumsum(values < 0)))
    lengths[wrong[ends] > wrong[ends - lengths]] = 0
    return lengths, values.astype(np.uint8), ends
