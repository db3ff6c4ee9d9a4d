"""CRC-32 of a packet: the IEEE 802.3 code over header and data, least significant byte first on the wire."""

from __future__ import annotations

import zlib

RESIDUE = 0x2144DF1C
"""What `zlib.crc32` gives over any data followed by its own CRC bytes (computed)."""


def crc_bytes(payload: bytes) -> bytes:
    """The four CRC bytes that follow `payload` on the wire."""
    return zlib.crc32(payload).to_bytes(4, "little")


def crc_holds(packet: bytes) -> bool:
    """Whether `packet` (payload and its four CRC bytes) is intact."""
    return len(packet) >= 6 and zlib.crc32(packet) == RESIDUE
