"""The line decoder against the transmitter model: corners of the specification, damage, and what is no frame."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partingline.readers.cc.line.decoder import PIECE, Scale, decode_edges, decode_samples
from partingline.readers.cc.line.frame import Frame
from partingline.readers.cc.line.symbols import ORDERED_SETS, match_ordered_set
from tests.readers.cc.transmitter import Line, Sent, edge_times, one_frame, packet_bits, record
from tests.readers.cc.worked import BY_NAME, WORKED

LIST = BY_NAME["V2"].packet[:-4]


def _corners(
    rates: tuple[float, ...], rises: tuple[float, ...], noises: tuple[float, ...], offsets: tuple[float, ...]
) -> list[Line]:
    """Bit rate 270 to 330 kbit/s, swing 1.05 to 1.2 V, idle level of each current advertisement."""
    return [
        Line(rate, bit_rate, 0.0, swing, offset, rise, noise, idle)
        for rate, bit_rate, swing, offset, rise, noise, idle in itertools.product(
            rates, (270e3, 300e3, 330e3), (1.05, 1.2), offsets, rises, noises, (0.41, 1.68)
        )
    ]


SMALL = _corners((1e6, 2.5e6, 25e6, 250e6), (300e-9, 700e-9), (0.165,), (-0.25, 0.25))
BIG = _corners(
    (1e6, 1.3e6, 1.7e6, 2.5e6, 3.1e6, 5e6, 10e6, 25e6, 62.5e6, 125e6, 250e6),
    (100e-9, 300e-9, 500e-9, 700e-9),
    (0.0, 0.08, 0.165),
    (-0.25, -0.1, 0.0, 0.1, 0.25),
)


def _missed(lines: list[Line], payload: bytes, repeats: int = 1, sop: str = "SOP") -> list[tuple[Line, list[Frame]]]:
    missed = []
    for seed, (line, _) in enumerate(itertools.product(lines, range(repeats))):
        late = float(np.random.default_rng(seed).uniform())
        frames = decode_samples(one_frame(payload, line, sop=sop, seed=seed, late=late), rate_hz=line.rate_hz)
        right = [(frame.valid, frame.sop, frame.payload) for frame in frames] == [(True, sop, payload)]
        if not right:
            missed.append((line, frames))
    return missed


def test_corners_of_the_specification() -> None:
    assert _missed(SMALL, LIST) == []


FEWEST = _corners((1e6, 1.2e6, 1.4e6), (300e-9, 700e-9), (0.165,), (-0.25, 0.25))


@pytest.mark.parametrize("sop", ["SOP'", "Hard Reset"])
def test_three_samples_a_bit(sop: str) -> None:
    """Noise on slow edges makes a whole bit look like half a one; the course of the line as a whole tells them."""
    assert _missed(FEWEST, b"" if sop == "Hard Reset" else BY_NAME["V1"].packet[:-4], sop=sop) == []


def test_times_and_levels_at_three_samples_a_bit() -> None:
    """Read by the course of the line: place, bit rate and levels as sent, finer than the samples lie."""
    line = Line(1e6, 330e3, 0.0, 1.05, 0.25, 700e-9, 0.165, 1.68)
    for seed in (0, 1, 2, 4):
        frame = decode_samples(one_frame(LIST, line, seed=seed), rate_hz=1e6)[0]
        assert frame.start_s == pytest.approx(0.2e-3, abs=0.2e-6)
        assert frame.end_s == pytest.approx(0.2e-3 + len(packet_bits(LIST)) / 330e3, abs=0.2e-6)
        assert frame.bit_rate_hz == pytest.approx(330e3, rel=1e-3)
        assert (frame.low_v, frame.high_v) == (pytest.approx(0.25, abs=0.03), pytest.approx(1.3, abs=0.03))


@pytest.mark.parametrize("drift", [-0.0025, 0.0025])
def test_a_rate_that_drifts_is_followed_at_three_samples_a_bit(drift: float) -> None:
    """0.25 % behind the preamble is allowed (from memory): over 365 bits that is nearly a whole one."""
    line = Line(1e6, 330e3, 0.0, 1.05, 0.0, 700e-9, 0.165)
    payload = BY_NAME["V12"].packet[:-4]
    bits = packet_bits(payload)
    for seed in range(5):
        wave = record([Sent(0.2e-3 + seed * 0.2e-6, bits, line, drift)], length_s=2e-3, line=line, seed=seed)
        assert [frame.payload for frame in decode_samples(wave, rate_hz=1e6) if frame.valid] == [payload]


@pytest.mark.prove
@pytest.mark.timeout(3600)
def test_all_corners_of_the_specification() -> None:
    for row in ("V1", "V2", "V9", "V12"):
        assert _missed(BIG, BY_NAME[row].packet[:-4], repeats=2) == []


@pytest.mark.parametrize("gap_s", [30e-6, 150e-6, 400e-6])
@pytest.mark.parametrize("rate_hz", [1e6, 1.4e6, 2.5e6, 25e6])
def test_an_idle_line_at_the_slicing_level_ties_no_frames_together(rate_hz: float, gap_s: float) -> None:
    """0.41 V at rest and frames from -0.12 to 1.01 V: noise between frames crosses their middle without end."""
    line = Line(rate_hz, 300e3, 0.0, 1.125, -0.12, 400e-9, 0.165, 0.41)
    said = [("SOP", LIST), ("SOP", BY_NAME["V1"].packet[:-4]), ("Hard Reset", b"")]
    for seed in range(4):
        sent, now = [], 0.3e-3 + seed * 0.13e-6
        for sop, payload in said:
            sent.append(Sent(now, packet_bits(payload, sop=sop), line))
            now += len(sent[-1].bits) / line.bit_rate_hz + gap_s
        frames = decode_samples(record(sent, length_s=4e-3, line=line, seed=seed), rate_hz=rate_hz)
        assert [(frame.sop, frame.payload) for frame in frames if frame.valid] == said


@pytest.mark.parametrize("rate_hz", [1e6, 2.5e6])
@pytest.mark.parametrize(("one_v", "other_v"), [(-0.12, 0.25), (0.25, -0.25), (0.0, 0.25)])
def test_ends_with_their_own_ground_and_rate_close_behind_each_other(
    rate_hz: float, one_v: float, other_v: float
) -> None:
    one = Line(rate_hz, 300e3, 0.0, 1.125, one_v, 400e-9, 0.165, 0.41)
    other = replace(one, bit_rate_hz=320e3, offset_v=other_v)
    answer = BY_NAME["V1"].packet[:-4]
    for seed in range(6):
        begin = 0.3e-3 + seed * 0.13e-6
        behind = begin + len(packet_bits(LIST)) / 300e3 + 30e-6
        sent = [Sent(begin, packet_bits(LIST), one), Sent(behind, packet_bits(answer), other)]
        frames = decode_samples(record(sent, length_s=3e-3, line=one, seed=seed), rate_hz=rate_hz)
        assert [frame.payload for frame in frames if frame.valid] == [LIST, answer]


@pytest.mark.parametrize("name", [row.name for row in WORKED])
def test_every_worked_message_on_the_wire(name: str) -> None:
    row = BY_NAME[name]
    line = Line(noise_pp_v=0.1, idle_v=1.68)
    frames = decode_samples(one_frame(row.packet[:-4], line, sop=row.sop), rate_hz=line.rate_hz)
    assert [(frame.sop, frame.payload, frame.reason) for frame in frames] == [(row.sop, row.packet[:-4], None)]
    assert frames[0].crc == int.from_bytes(row.packet[-4:], "little")


@pytest.mark.parametrize("sop", list(ORDERED_SETS))
def test_every_ordered_set(sop: str) -> None:
    frame = decode_samples(one_frame(b"\xa3\x03", Line(), sop=sop), rate_hz=5e6)[0]
    assert (frame.sop, frame.valid, frame.symbols_matched) == (sop, True, 4)
    assert frame.bit_rate_hz == pytest.approx(300e3, rel=2e-3)
    assert frame.preamble_bits >= 62


@pytest.mark.parametrize("scale", [1 / 8192, -1 / 8192])
@pytest.mark.parametrize("dtype", ["i2", "f4", "f8", "u1", "i1"])
def test_sample_types_and_polarity(dtype: str, scale: float) -> None:
    wave = one_frame(LIST, Line(noise_pp_v=0.05)).astype(float)
    width = {"u1": 255, "i1": 127}.get(dtype)
    if width:
        scale = 2.0 / width
        wave = np.clip(wave, 0, 2)
    raw = wave / scale
    raw = np.round(raw).astype(dtype) if dtype[0] != "f" else raw.astype(dtype)
    frames = decode_samples(raw, rate_hz=5e6, scale=Scale(scale))
    assert [frame.payload for frame in frames] == [LIST]
    assert frames[0].low_v == pytest.approx(0.0, abs=0.03)
    assert frames[0].high_v == pytest.approx(1.125, abs=0.03)


def test_scale_not_known() -> None:
    raw = np.round(one_frame(LIST, Line(noise_pp_v=0.05)) * 37).astype(np.int16)
    assert [frame.payload for frame in decode_samples(raw, rate_hz=5e6, scale=Scale(known=False))] == [LIST]


@pytest.mark.parametrize("lost", [1, 2, 3, 7, 20, 40])
def test_first_edges_lost(lost: int) -> None:
    edges = np.array(edge_times(packet_bits(LIST))[lost:]) + 1e-3
    frames = decode_edges(edges)
    assert [frame.payload for frame in frames if frame.valid] == [LIST]
    assert frames[0].start_s == pytest.approx(1e-3, abs=3e-6)


def test_edges_of_both_polarities_are_alike() -> None:
    wave = one_frame(LIST, Line())
    assert decode_samples(wave, rate_hz=5e6)[0].payload == LIST
    assert decode_samples(1.2 - wave, rate_hz=5e6)[0].payload == LIST


@pytest.mark.parametrize("symbol", range(4))
def test_three_of_four_symbols_are_enough(symbol: int) -> None:
    bits = packet_bits(LIST)
    at = 64 + 5 * symbol
    broken = bits[:at] + "00000" + bits[at + 5 :]
    line = Line()
    wave = record([Sent(0.2e-3, broken, line)], length_s=2e-3, line=line)
    frame = decode_samples(wave, rate_hz=5e6)[0]
    assert (frame.sop, frame.valid, frame.symbols_matched, frame.payload) == ("SOP", True, 3, LIST)


def test_ordered_set_between_two_is_ambiguous() -> None:
    """Sync-1 Sync-1 Sync-3 Sync-2 is one symbol from SOP and from SOP'."""
    code = 0b11000 | 0b11000 << 5 | 0b00110 << 10 | 0b10001 << 15
    assert match_ordered_set(code) == (None, 3)


@pytest.mark.parametrize("at", range(84, 84 + 40 * 7, 11))
def test_one_wrong_bit_is_damage(at: int) -> None:
    bits = packet_bits(LIST)
    flipped = bits[:at] + str(1 - int(bits[at])) + bits[at + 1 :]
    line = Line()
    frames = decode_samples(record([Sent(0.2e-3, flipped, line)], length_s=2e-3, line=line), rate_hz=5e6)
    assert [frame.valid for frame in frames] == [False]
    assert frames[0].sop == "SOP"
    assert frames[0].reason is not None


@pytest.mark.parametrize(
    ("bits", "tells"),
    [
        (packet_bits(LIST)[:200], "cut short"),
        (packet_bits(LIST)[:60], "no ordered set"),
        (packet_bits(LIST)[:104] + "10110", "expected a header and a CRC"),
        (packet_bits(LIST)[:114] + "00000" + packet_bits(LIST)[119:], "invalid symbol in byte 3"),
        (packet_bits(LIST)[100:], "no preamble"),
    ],
)
def test_damage_has_its_reason(bits: str, tells: str) -> None:
    line = Line()
    frames = decode_samples(record([Sent(0.2e-3, bits, line)], length_s=2e-3, line=line), rate_hz=5e6)
    assert len(frames) == 1
    assert tells in (frames[0].reason or "")


def test_recording_begins_inside_a_preamble() -> None:
    """19 of its 64 bits are left."""
    wave = one_frame(LIST, Line())
    assert [frame.payload for frame in decode_samples(wave[1750:], rate_hz=5e6)] == [LIST]
    assert not any(frame.valid for frame in decode_samples(wave[:1750], rate_hz=5e6))


@pytest.mark.parametrize("cut", [0.42e-3, 0.6e-3, 0.9e-3])
def test_recording_begins_or_ends_inside_a_frame(cut: float) -> None:
    wave = one_frame(LIST, Line())
    at = round(cut * 5e6)
    for part in (wave[at:], wave[:at]):
        assert not any(frame.valid for frame in decode_samples(part, rate_hz=5e6))


def test_glitches_are_passed_over() -> None:
    """Spikes of 0.2 µs, one in the middle of a bit and one on idle, as a switching converter couples them in."""
    wave = one_frame(LIST, Line(rate_hz=25e6))
    for at_s, level in ((0.1e-3, 3.0), (0.9e-3, 0.0), (0.5e-3, 1.2), (1.01e-3, 0.5)):
        at = round(at_s * 25e6)
        wave[at : at + 5] = level
    assert [frame.payload for frame in decode_samples(wave, rate_hz=25e6) if frame.valid] == [LIST]


def test_frames_across_pieces_are_found_once() -> None:
    """A long recording is read in pieces; frames on their borders are neither lost nor doubled."""
    line = Line(rate_hz=5e6)
    bits = packet_bits(LIST)
    sent = [Sent(0.3e-3 + i * 1.731e-3, bits, line) for i in range(12)]
    period = record(sent, length_s=0.3e-3 + 12 * 1.731e-3, line=line)
    copies = 2 * PIECE // len(period) + 2
    frames = decode_samples(np.tile(period, copies), rate_hz=5e6)
    assert sum(frame.valid for frame in frames) == len(frames) == 12 * copies
    starts = np.array([frame.start_s for frame in frames])
    assert (np.diff(starts) > 1e-3).all()


def _no_message(samples: np.ndarray, rate_hz: float) -> None:
    assert not any(frame.valid for frame in decode_samples(samples, rate_hz=rate_hz))


def _noise(count: int, seed: int) -> np.ndarray:
    return np.random.default_rng(seed).normal(0.5, 0.4, count).astype(np.float32)


def _square(count: int, rate_hz: float, hertz: float) -> np.ndarray:
    return (np.arange(count) * (hertz / rate_hz) % 1 < 0.5).astype(np.float32)


def _audio(count: int, rate_hz: float, seed: int) -> np.ndarray:
    """Sums of tones with drifting loudness, up to the band of the wire."""
    rng = np.random.default_rng(seed)
    time = np.arange(count) / rate_hz
    tones = [rng.uniform(0.1, 1) * np.sin(2 * np.pi * f * time) for f in rng.uniform(50, 400e3, 12)]
    return (np.sum(tones, axis=0) / 3).astype(np.float32)


def _spliced(count: int, rate_hz: float, seed: int) -> np.ndarray:
    """Halves of different messages joined inside the data: each preamble and ordered set is real, no CRC is.

    Halves whose first bits happen to be alike make up the second message, which is none of these.
    """
    rng = np.random.default_rng(seed)
    line = Line(rate_hz=rate_hz)
    parts: list[np.ndarray] = []
    total = 0
    while total < count:
        one, other = (packet_bits(rng.bytes(2 + 4 * n)) for n in rng.integers(1, 8, 2))
        cut = 84 + 10 * int(rng.integers(1, 6)) + int(rng.integers(0, 10))
        bits = one[:cut] + other[84 + int(rng.integers(1, 60)) :]
        if bits == other:
            continue
        part = record([Sent(60e-6, bits, line)], length_s=0.1e-3 + len(bits) / 300e3, line=line)
        parts.append(part)
        total += len(part)
    return np.concatenate(parts)[:count]


@pytest.mark.parametrize("seed", range(3))
def test_no_message_where_there_is_none(seed: int) -> None:
    _no_message(_noise(1_000_000, seed), 2.5e6)
    _no_message(_square(1_000_000, 5e6, (150e3, 299e3, 300e3)[seed]), 5e6)
    _no_message(_audio(1_000_000, 5e6, seed), 5e6)
    _no_message(_spliced(500_000, 5e6, seed), 5e6)


@pytest.mark.parametrize("seed", range(2))
def test_no_message_where_there_is_none_at_three_samples_a_bit(seed: int) -> None:
    """The same where frames that fail are tried by the whole course of the line."""
    _no_message(_noise(100_000, seed), 1e6)
    _no_message(_square(100_000, 1e6, (82.5e3, 165e3)[seed]), 1e6)
    _no_message(_audio(100_000, 1e6, seed), 1e6)
    _no_message(_spliced(60_000, 1e6, seed), 1e6)


@pytest.mark.prove
@pytest.mark.timeout(7200)
def test_no_message_in_a_thousand_million_samples() -> None:
    piece = 10_000_000
    for seed in range(25):
        _no_message(_noise(piece, seed), (1e6, 2.5e6, 5e6, 25e6)[seed % 4])
        _no_message(_square(piece, 5e6, 100e3 + 20e3 * seed), (1e6, 5e6)[seed % 2])
        _no_message(_audio(piece, 5e6, seed), (1e6, 5e6)[seed % 2])
        _no_message(_spliced(piece, 2.5e6, seed), 2.5e6)


@settings(max_examples=60, deadline=None)
@given(st.text("01", max_size=700), st.floats(200e3, 400e3))
def test_any_bits_on_the_wire(bits: str, bit_rate_hz: float) -> None:
    edges = np.array(edge_times(bits, bit_rate_hz=bit_rate_hz)) + 1e-3
    assert not any(frame.payload for frame in decode_edges(edges) if frame.valid)


@settings(max_examples=60, deadline=None)
@given(st.binary(min_size=2, max_size=2), st.binary(max_size=28), st.integers(0, 6))
def test_any_message_comes_back(head: bytes, data: bytes, sop: int) -> None:
    """Whatever a transmitter sends in whole objects is what is read, extended or not."""
    count = len(data) // 4
    word = int.from_bytes(head, "little") & 0x8FFF | count << 12
    payload = word.to_bytes(2, "little") + data[: 4 * count]
    name = list(ORDERED_SETS)[sop]
    frames = decode_edges(np.array(edge_times(packet_bits(payload, sop=name))) + 1e-3)
    expected = b"" if "Reset" in name else payload
    assert [(frame.sop, frame.payload, frame.valid) for frame in frames] == [(name, expected, True)]


@settings(max_examples=100, deadline=None)
@given(st.lists(st.floats(1e-7, 2e-5), max_size=400))
def test_any_edges(gaps: list[float]) -> None:
    for frame in decode_edges(np.cumsum(np.array([0.0, *gaps]))):
        assert frame.reason is not None or frame.sop is not None


@settings(max_examples=40, deadline=None)
@given(st.binary(max_size=6000), st.sampled_from(["<i2", "<f4", "u1"]), st.floats(1e6, 250e6))
def test_any_samples(data: bytes, dtype: str, rate_hz: float) -> None:
    width = np.dtype(dtype).itemsize
    samples = np.frombuffer(data[: len(data) // width * width], dtype)
    with np.errstate(all="ignore"):
        assert all(isinstance(frame, Frame) for frame in decode_samples(samples, rate_hz=rate_hz))


def test_unchunked_extended_message() -> None:
    """260 data bytes in one packet, objects field 0."""
    data = bytes(range(256)) + b"\1\2\3\4"
    payload = (0x8000 | 2 << 6 | 0x100 | 0x20 | 2).to_bytes(2, "little") + (260).to_bytes(2, "little") + data
    line = replace(Line(), bit_rate_hz=270e3)
    frames = decode_samples(one_frame(payload, line), rate_hz=5e6)
    assert [(frame.valid, frame.payload) for frame in frames] == [(True, payload)]
