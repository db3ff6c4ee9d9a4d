"""A model of a CC-line transmitter and of the recording of it, independent of the decoder.

Written from the description of the physical layer (biphase mark code, 4b5b, preamble, ordered sets,
trailing edge); its tables are typed in as wire strings, its CRC is a bitwise register:
nothing is shared with the reader.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

# Wire order, first bit left: nibble 0 is 11110 written b4..b0 and leaves as 01111.
_DATA = (
    "01111", "10010", "00101", "10101", "01010", "11010", "01110", "11110",
    "01001", "11001", "01101", "11101", "01011", "11011", "00111", "10111",
)  # fmt: skip
_S1, _S2, _S3, _R1, _R2 = "00011", "10001", "01100", "11100", "10011"
_SETS = {
    "SOP": _S1 + _S1 + _S1 + _S2,
    "SOP'": _S1 + _S1 + _S3 + _S3,
    "SOP''": _S1 + _S3 + _S1 + _S3,
    "SOP'_Debug": _S1 + _R2 + _R2 + _S3,
    "SOP''_Debug": _S1 + _R2 + _S3 + _S2,
    "Hard Reset": _R1 + _R1 + _R1 + _R2,
    "Cable Reset": _R1 + _S1 + _R1 + _S3,
}
_EOP = "10110"


@dataclass(frozen=True)
class Line:
    """How a transmitter drives the wire and how it is recorded. Volts, seconds, hertz."""

    rate_hz: float = 5e6
    bit_rate_hz: float = 300e3
    low_v: float = 0.0
    high_v: float = 1.125
    offset_v: float = 0.0
    rise_s: float = 400e-9
    noise_pp_v: float = 0.0
    idle_v: float = 0.92


def crc(data: bytes) -> bytes:
    register = 0xFFFFFFFF
    for byte in data:
        register ^= byte
        for _ in range(8):
            register = register >> 1 ^ (0xEDB88320 if register & 1 else 0)
    return (register ^ 0xFFFFFFFF).to_bytes(4, "little")


def packet_bits(payload: bytes, *, sop: str = "SOP", preamble: int = 64) -> str:
    """The bits of a whole packet in wire order."""
    bits = "01" * (preamble // 2) + _SETS[sop]
    if sop.endswith("Reset"):
        return bits
    data = payload + crc(payload)
    return bits + "".join(_DATA[b & 15] + _DATA[b >> 4] for b in data) + _EOP


def edge_times(bits: str, *, bit_rate_hz: float = 300e3, drift: float = 0.0) -> list[float]:
    """Edges of biphase mark code, the first bit beginning at 0, the last edge closing the last bit.

    Bits behind the preamble are longer by a share of `drift`.
    """
    unit = 1 / bit_rate_hz
    halves: list[float] = []
    for i, bit in enumerate(bits):
        halves += [i, i + 0.5] if bit == "1" else [i]
    return [(at + max(at - 64, 0) * drift) * unit for at in (*halves, len(bits))]


@dataclass(frozen=True)
class Sent:
    """One transmission: bits, when it begins, on which line."""

    start_s: float
    bits: str
    line: Line
    drift: float = 0.0


def level_steps(sent: Sent) -> list[tuple[float, float]]:
    """(time, level from then on), with the hold after the last edge and the release to the idle level."""
    line = sent.line
    low, high = line.low_v + line.offset_v, line.high_v + line.offset_v
    unit = 1 / line.bit_rate_hz
    steps = [(sent.start_s - 0.5e-6, low)]
    now = low
    for t in edge_times(sent.bits, bit_rate_hz=line.bit_rate_hz, drift=sent.drift)[1:]:
        now = high if now == low else low
        steps.append((sent.start_s + t, now))
    end = steps[-1][0]
    if now == high:
        end += unit
        steps.append((end, low))
    return [*steps, (end + 2e-6, line.idle_v)]


def record(sent: Sequence[Sent], *, length_s: float, line: Line, seed: int = 0) -> npt.NDArray[np.float32]:
    """The recording: trapezoid edges of the given 10-90 % rise time, bounded uniform noise, sampled."""
    count = round(length_s * line.rate_hz)
    grid = np.arange(count) / line.rate_hz
    times, levels = [-1.0], [line.idle_v]
    for one in sent:
        ramp = one.line.rise_s / 0.8
        for t, level in level_steps(one):
            begin = max(t - ramp / 2, times[-1] + 1e-12)
            held = float(np.interp(begin, times[-2:], levels[-2:])) if len(times) > 1 else levels[-1]
            if begin < times[-1]:
                begin = times[-1]
            times += [begin, begin + ramp]
            levels += [held, level]
    wave = np.interp(grid, times, levels)
    noise = np.random.default_rng(seed).uniform(-0.5, 0.5, count) * line.noise_pp_v
    return (wave + noise).astype(np.float32)


def one_frame(
    payload: bytes, line: Line, *, sop: str = "SOP", seed: int = 0, late: float = 0.0
) -> npt.NDArray[np.float32]:
    """A recording of one frame with some idle before and after; `late` moves it by a share of a sample."""
    bits = packet_bits(payload, sop=sop)
    length = 0.4e-3 + len(bits) / line.bit_rate_hz
    return record([Sent(0.2e-3 + late / line.rate_hz, bits, line)], length_s=length, line=line, seed=seed)


def with_rate(line: Line, bit_rate_hz: float) -> Line:
    return replace(line, bit_rate_hz=bit_rate_hz)
