"""USB Power Delivery packets as bits on the wire: headers, objects, check sum, 4b5b symbols.

Fields after the layouts in the public headers of the Linux kernel (`include/linux/usb/pd.h`, `pd_vdo.h`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

NIBBLES = (
    0b11110, 0b01001, 0b10100, 0b10101, 0b01010, 0b01011, 0b01110, 0b01111,
    0b10010, 0b10011, 0b10110, 0b10111, 0b11010, 0b11011, 0b11100, 0b11101,
)  # fmt: skip
SYNC1, SYNC2, SYNC3, END = 0b11000, 0b10001, 0b00110, 0b01101
ORDERED_SETS = {"SOP": (SYNC1, SYNC1, SYNC1, SYNC2), "SOP'": (SYNC1, SYNC1, SYNC3, SYNC3)}
PREAMBLE = (0, 1) * 32

GOOD_CRC, ACCEPT, PS_RDY, GET_REVISION = 1, 3, 6, 24
SOURCE_CAPABILITIES, REQUEST, REVISION, VENDOR_DEFINED = 1, 2, 12, 15
REVISION_3 = 2


@dataclass(frozen=True)
class Speaker:
    """Who sends, with its two role bits (for a cable plug: the plug bit and zero)."""

    name: str
    power_bit: int
    data_bit: int


SOURCE, SINK = Speaker("source", 1, 1), Speaker("sink", 0, 0)
PORT_TO_CABLE, CABLE = Speaker("source", 0, 0), Speaker("cable", 1, 0)


def header(kind: int, objects: int, message_id: int, speaker: Speaker) -> int:
    """The 16-bit message header."""
    roles = speaker.power_bit << 8 | speaker.data_bit << 5
    return objects << 12 | message_id << 9 | roles | REVISION_3 << 6 | kind


def payload(head: int, words: Sequence[int] = ()) -> bytes:
    """Header and objects, least significant byte first."""
    return head.to_bytes(2, "little") + b"".join(word.to_bytes(4, "little") for word in words)


def check_sum(data: bytes) -> int:
    """CRC-32 with the polynomial 0x04C11DB7, bit by bit as a shift register on the line does it."""
    register = 0xFFFFFFFF
    for byte in data:
        for bit in range(8):
            out = (register ^ (byte >> bit)) & 1
            register = register >> 1 ^ (0xEDB88320 if out else 0)
    return register ^ 0xFFFFFFFF


def wire_bits(ordered_set: str, data: bytes) -> list[int]:
    """All bits of a packet in the order of the wire."""
    symbols = list(ORDERED_SETS[ordered_set])
    for byte in data + check_sum(data).to_bytes(4, "little"):
        symbols += [NIBBLES[byte & 15], NIBBLES[byte >> 4]]
    symbols.append(END)
    return [*PREAMBLE, *(symbol >> bit & 1 for symbol in symbols for bit in range(5))]


def fixed_object(volts: float, amperes: float, flags: int = 0) -> int:
    """A fixed supply in a Source_Capabilities message."""
    return flags | round(volts / 0.05) << 10 | round(amperes / 0.01)


def pps_object(low: float, high: float, amperes: float) -> int:
    """A programmable supply that keeps to the port's power (bit 27)."""
    return 0xC0000000 | 1 << 27 | round(high / 0.1) << 17 | round(low / 0.1) << 8 | round(amperes / 0.05)


def fixed_request(position: int, amperes: float) -> int:
    """A request of a fixed supply, operating and highest current alike, no suspend."""
    hundredths = round(amperes / 0.01)
    return position << 28 | 1 << 24 | hundredths << 10 | hundredths


def pps_request(position: int, volts: float, amperes: float) -> int:
    """A request of a programmable supply, no suspend."""
    return position << 28 | 1 << 24 | round(volts / 0.02) << 9 | round(amperes / 0.05)


def discover_identity() -> list[int]:
    """The question to the cable plug: structured, version 2.1."""
    return [0xFF00A801]


def cable_identity() -> list[int]:
    """The answer of an invented passive 5 A cable: USB 2.0, 20 V, about 1 m. Vendor and product are invented."""
    passive, vendor, product = 3, 0x1234, 0x5A01
    cable = 1 << 28 | 1 << 24 | 2 << 18 | 1 << 13 | 2 << 5
    return [0xFF00A841, passive << 27 | vendor, 0x0000BEEF, product << 16 | 0x0100, cable]


def revision_words() -> list[int]:
    """Revision 3.1, version 1.6."""
    return [3 << 28 | 1 << 24 | 1 << 20 | 6 << 16]
