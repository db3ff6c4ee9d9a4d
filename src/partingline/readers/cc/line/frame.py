"""What the line decoder hands on: one frame, sound or damaged."""

from __future__ import annotations

from typing import NamedTuple


class Frame(NamedTuple):
    """A frame on the wire.

    start_s, end_s: beginning of the first preamble bit (reckoned back from the ordered set when edges were
    lost) and end of the last bit, in seconds from the start of the recording. `sop`: ordered set, or None
    when it could not be told. `payload`: header and data, without CRC; for a damaged frame what could be
    read of it. `reason`: why the frame is damaged, None when it is sound. Levels in volts (raw units when
    the recording tells no scale), None when there are no samples to measure. `rate_drift`: rate after the
    preamble's last 32 bits against their rate, minus 1. A tuple, since a busy recording holds a hundred thousand.
    """

    start_s: float
    end_s: float
    sop: str | None
    payload: bytes
    reason: str | None
    crc: int | None
    bit_rate_hz: float
    rate_drift: float | None
    symbols_matched: int
    preamble_bits: int
    low_v: float | None
    high_v: float | None
    channel: str = "cc1"

    @property
    def valid(self) -> bool:
        """Sound: a reset, or a message whose CRC holds."""
        return self.reason is None

    @property
    def swing_v(self) -> float | None:
        """High level minus low level."""
        return None if self.low_v is None or self.high_v is None else self.high_v - self.low_v
