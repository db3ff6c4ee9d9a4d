"""The capture, decoded from its samples by a decoder of this test, against zlib, the typed offers and the timers."""

import json
import re
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest

CODES = (
    "11110 01001 10100 10101 01010 01011 01110 01111 "
    "10010 10011 10110 10111 11010 11011 11100 11101"
)  # source: 4b5b table of a published reference manual
NIBBLE = {int(code, 2): value for value, code in enumerate(CODES.split())}
END = 0b01101


@dataclass(frozen=True)
class Packet:
    """Seconds of first and last edge, ordered set, bytes with check sum, bits a second."""

    start: float
    end: float
    ordered_set: tuple[int, ...]
    data: bytes
    rate: float

    @property
    def kind(self) -> tuple[int, int]:
        """Message type, number of objects."""
        head = int.from_bytes(self.data[:2], "little")
        return head & 31, head >> 12 & 7

    @property
    def words(self) -> list[int]:
        """The 32-bit objects."""
        return [int.from_bytes(self.data[k : k + 4], "little") for k in range(2, len(self.data) - 4, 4)]


@pytest.fixture(scope="module")
def recording(unit_folder: Path) -> tuple[float, np.ndarray[Any, Any]]:
    """Sample rate and volts, two columns."""
    meta = json.loads((unit_folder / "captures/c1-attach.sigmf-meta").read_text("utf-8"))["global"]
    assert (meta["core:datatype"], meta["core:num_channels"]) == ("ri16_le", 2)
    counts = np.fromfile(unit_folder / "captures/c1-attach.sigmf-data", "<i2").reshape(-1, 2)
    return meta["core:sample_rate"], counts * np.array(meta["partingline:scale_v"])


@pytest.fixture(scope="module")
def packets(recording: tuple[float, np.ndarray[Any, Any]]) -> list[Packet]:
    rate, volts = recording
    return decode(volts[:, 0], rate)


def decode(volts: np.ndarray[Any, Any], rate: float) -> list[Packet]:
    """Edges at 0.55 V, a gap of 20 µs between packets, intervals below three quarters of a unit are halves."""
    high = volts > 0.55
    at = np.flatnonzero(np.diff(high))
    times = (at + (0.55 - volts[at]) / (volts[at + 1] - volts[at])) / rate
    groups = np.split(times, np.flatnonzero(np.diff(times) > 20e-6) + 1)
    return [_packet(group) for group in groups]


def _packet(times: np.ndarray[Any, Any]) -> Packet:
    gaps = np.diff(times)
    unit = float(np.mean(np.sort(gaps[:90])[-24:]))
    bits, half = [], False
    for gap in gaps:
        if gap > 0.75 * unit:
            bits.append(0)
        elif half:
            bits.append(1)
            half = False
        else:
            half = True
    start = next(k for k in range(40, 80) if bits[k : k + 2] == [0, 0])
    symbols = [sum(bit << n for n, bit in enumerate(bits[k : k + 5])) for k in range(start, len(bits) - 4, 5)]
    stop = symbols.index(END)
    nibbles = [NIBBLE[symbol] for symbol in symbols[4:stop]]
    data = bytes(low | high << 4 for low, high in zip(nibbles[::2], nibbles[1::2], strict=True))
    length = start + 5 * (stop + 1)
    return Packet(float(times[0]), float(times[0]) + length * unit, tuple(symbols[:4]), data, 1 / unit)


def test_check_sums(packets: list[Packet]) -> None:
    """CRC-32 as zlib computes it, over header and objects, sent least significant byte first."""
    assert len(packets) == 46
    for packet in packets:
        assert zlib.crc32(packet.data[:-4]) == int.from_bytes(packet.data[-4:], "little")


def test_published_packets(packets: list[Packet]) -> None:
    """Whole packets as recomputed in published decodings: Discover Identity and the 20 V request."""
    whole = [packet.data.hex() for packet in packets]
    assert "8f1001a800ff1c14117c" in whole
    assert "82104515054125cfd148" in whole


def test_offers_are_the_typed_ones(packets: list[Packet], unit_file: dict[str, Any]) -> None:
    """Objects of Source_Capabilities against `unit.toml`. Source: field layout in Linux `include/linux/usb/pd.h`."""
    words = next(packet.words for packet in packets if packet.kind == (1, 5))
    seen = [f"{(word >> 10 & 1023) * 0.05:g}V {(word & 1023) * 0.01:g}A" for word in words[:4]]
    pps = words[4]
    seen.append(f"PPS {(pps >> 8 & 255) / 10:g}-{(pps >> 17 & 255) / 10:g}V {(pps & 127) * 0.05:g}A")
    assert seen == unit_file["port"][0]["offers"]


def test_the_conversation(packets: list[Packet]) -> None:
    """Cable, capabilities, five contracts besides the first, the revision; every message but GoodCRC is answered."""
    kinds = [packet.kind for packet in packets]
    assert kinds[1::2] == [(1, 0)] * 23
    assert [kind for kind in kinds[::2] if kind not in ((2, 1), (3, 0), (6, 0))] == [
        (15, 1), (15, 5), (1, 5), (24, 0), (12, 1),
    ]  # fmt: skip
    assert kinds.count((2, 1)) == kinds.count((3, 0)) == kinds.count((6, 0)) == 6
    positions = [packet.words[0] >> 28 for packet in packets if packet.kind == (2, 1)]
    assert positions == [4, 5, 5, 5, 5, 3]


def test_timing(packets: list[Packet]) -> None:
    """Limits of USB Power Delivery R3.1 as public firmware states them (secondary): GoodCRC 195 µs, Accept to
    PS_RDY 550 ms, 270 to 330 kbit/s, the ends differing.
    """
    for message, answer in zip(packets[::2], packets[1::2], strict=True):
        assert 25e-6 < answer.start - message.end < 195e-6
    accepts, readies = ([p for p in packets if p.kind == kind] for kind in ((3, 0), (6, 0)))
    for accept, ready in zip(accepts, readies, strict=True):
        assert 0 < ready.start - accept.end < 0.55
    rates = np.array([packet.rate for packet in packets])
    assert np.all((rates > 270e3) & (rates < 330e3))
    assert np.ptp(rates) > 5e3


def test_vbus_is_at_each_contract_when_ready(
    recording: tuple[float, np.ndarray[Any, Any]], packets: list[Packet]
) -> None:
    """Within 5 % of the contract at PS_RDY (vSrcNew, secondary source)."""
    rate, volts = recording
    readies = [packet for packet in packets if packet.kind == (6, 0)]
    for ready, contract in zip(readies, (20.0, 9.0, 9.4, 9.8, 9.6, 15.0), strict=True):
        index = int(ready.start * rate)
        assert float(volts[index - 200 : index, 1].mean()) == pytest.approx(contract, rel=0.05)


def test_typed_words_are_plain(unit_file: dict[str, Any]) -> None:
    for port in unit_file["port"]:
        assert all(re.fullmatch(r"(PPS [\d.]+-)?[\d.]+V [\d.]+A", offer) for offer in port["offers"])
