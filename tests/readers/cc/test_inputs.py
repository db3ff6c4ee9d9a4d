"""Every kind of file, sound and broken: the same conversation out of each, problems instead of exceptions."""

from __future__ import annotations

import json
import struct
import wave as wave_module
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from partingline.readers.cc import Options, read_capture, read_hex
from partingline.readers.cc.jsonview import capture_view
from tests.readers.cc.dialogue import sixty_five_watt
from tests.readers.cc.transmitter import Line, level_steps, record
from tests.readers.cc.worked import WORKED

RATE_HZ = 5e6
LINE = Line(rate_hz=RATE_HZ, noise_pp_v=0.05)
TALK = sixty_five_watt(LINE)
VOLTS = record(TALK.sent, length_s=TALK.now_s + 1e-3, line=LINE)
COUNT = len(TALK.sent)


def _sigmf(folder: Path, datatype: str, raw: bytes, **more: object) -> Path:
    head = {"core:datatype": datatype, "core:sample_rate": RATE_HZ, "core:version": "1.2.0", **more}
    (folder / "x.sigmf-meta").write_text(json.dumps({"global": head, "captures": [{}], "annotations": []}))
    (folder / "x.sigmf-data").write_bytes(raw)
    return folder / "x.sigmf-data"


def _heard(path: Path, options: Options | None = None) -> None:
    capture = read_capture(path, options)
    assert capture.problems == ()
    assert [frame.valid for frame in capture.frames] == [True] * COUNT
    assert [contract.outcome for contract in capture.conversation.contracts] == ["ready", "ready"]
    assert capture.duration_s is not None


@pytest.mark.parametrize(
    ("datatype", "dtype", "scale", "offset"),
    [
        ("rf32_le", "<f4", 1.0, 0.0),
        ("rf32_be", ">f4", 1.0, 0.0),
        ("rf64_le", "<f8", 2.0, -1.0),
        ("ri16_le", "<i2", 1e-4, 0.5),
        ("ri16_be", ">i2", 1e-4, 0.0),
        ("ri8", "i1", 0.016, 0.6),
        ("ru8", "u1", 0.016, -0.5),
    ],
)
def test_sigmf(tmp_path: Path, datatype: str, dtype: str, scale: float, offset: float) -> None:
    raw = (VOLTS - offset) / scale
    raw = np.round(raw) if dtype[-2] != "f" else raw
    fields = {"partingline:scale_v": scale, "partingline:offset_v": offset}
    path = _sigmf(tmp_path, datatype, raw.astype(dtype).tobytes(), **fields)
    _heard(path)
    source = read_capture(path).conversation.senders[0]
    assert source.swing_v == pytest.approx(1.125, abs=0.03)
    assert source.low_v == pytest.approx(0.0, abs=0.03)


def test_sigmf_channels_both_ways_round(tmp_path: Path) -> None:
    both = np.stack((np.full_like(VOLTS, 0.2), VOLTS), axis=1)
    path = _sigmf(tmp_path, "rf32_le", both.tobytes(), **{"core:num_channels": 2})
    _heard(path)
    assert {frame.channel for frame in read_capture(path).frames} == {"cc2"}


def test_npy(tmp_path: Path) -> None:
    np.save(tmp_path / "x.npy", VOLTS)
    _heard(tmp_path / "x.npy", Options(rate_hz=RATE_HZ))
    np.save(tmp_path / "y.npy", np.round(VOLTS * 1e4).astype(np.int16)[:, None])
    _heard(tmp_path / "y.npy", Options(rate_hz=RATE_HZ, scale=1e-4))


@pytest.mark.parametrize(("bits", "code"), [(16, 1), (24, 1), (32, 3), (8, 1)])
def test_wav(tmp_path: Path, bits: int, code: int) -> None:
    full = 2.0 ** (bits - 1)
    scale = 1.0 if code == 3 else 2.0 / full
    raw = np.round(VOLTS / scale).astype(np.int32)
    data = {
        8: lambda: (raw + 128).astype(np.uint8).tobytes(),
        16: lambda: raw.astype("<i2").tobytes(),
        24: lambda: raw.astype("<i4").view(np.uint8).reshape(-1, 4)[:, :3].tobytes(),
        32: lambda: VOLTS.astype("<f4").tobytes(),
    }[bits]()
    head = struct.pack("<HHIIHH", code, 1, int(RATE_HZ), 0, bits // 8, bits)
    chunks = b"fmt " + struct.pack("<I", 16) + head + b"LIST\3\0\0\0abc\0"
    body = b"WAVE" + chunks + b"data" + struct.pack("<I", len(data)) + data
    (tmp_path / "x.wav").write_bytes(b"RIFF" + struct.pack("<I", len(body)) + body)
    _heard(tmp_path / "x.wav", Options(scale=scale))


def test_wav_of_the_standard_library(tmp_path: Path) -> None:
    with wave_module.open(str(tmp_path / "x.wav"), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(int(RATE_HZ))
        file.writeframes(np.round(VOLTS * 1e4).astype("<i2").tobytes())
    _heard(tmp_path / "x.wav", Options(scale=1e-4))


@pytest.mark.parametrize(
    ("head", "separator", "comma", "factor"),
    [
        ("time,volts\n", ",", False, (1.0, 1.0)),
        ("Model,none\n\nX (ms);CC1 (mV)\n", ";", True, (1e3, 1e3)),
        ("", "\t", False, (1.0, 1.0)),
    ],
)
def test_csv(tmp_path: Path, head: str, separator: str, comma: bool, factor: tuple[float, float]) -> None:
    part = VOLTS[: round(8e-3 * RATE_HZ)]
    rows = (f"{i / RATE_HZ * factor[0]:.7e}{separator}{v * factor[1]:.4f}" for i, v in enumerate(part))
    text = "\n".join(row.replace(".", ",") if comma else row for row in rows)
    (tmp_path / "x.csv").write_text(head + text + "\n", "utf-8")
    capture = read_capture(tmp_path / "x.csv")
    assert capture.problems == ()
    assert capture.rate_hz == pytest.approx(RATE_HZ, rel=1e-5)
    assert sum(frame.valid for frame in capture.frames) >= 4
    assert capture.conversation.senders[0].swing_v == pytest.approx(1.125, abs=0.05)


def test_csv_with_a_broken_line(tmp_path: Path) -> None:
    rows = [f"{i / RATE_HZ:.7e},{v:.4f}" for i, v in enumerate(VOLTS[:20000])]
    rows[300] = "overload,***"
    (tmp_path / "x.csv").write_text("\n".join(rows), "utf-8")
    capture = read_capture(tmp_path / "x.csv")
    assert capture.problems[0].place == "x.csv, line 301"
    assert any(frame.valid for frame in capture.frames)


def test_vcd(tmp_path: Path) -> None:
    changes = sorted((round(t * 1e9), level > 0.5) for sent in TALK.sent for t, level in level_steps(sent))
    lines = ["$timescale 1 ns $end", "$scope module top $end"]
    lines += ["$var wire 1 ! CC1 $end", "$var wire 1 % led $end", "$upscope $end", "$enddefinitions $end"]
    lines += ["#0", "1!", "0%"]
    for time, high in changes:
        lines += [f"#{time}", f"{int(high)}!"]
    (tmp_path / "x.vcd").write_text("\n".join(lines))
    _heard(tmp_path / "x.vcd")


def test_hex_as_other_instruments_print_it(tmp_path: Path) -> None:
    text = "\n".join(f"{row.sop} {row.packet.hex(' ')}  # {row.name}" for row in WORKED)
    (tmp_path / "x.hex").write_text(text)
    capture = read_capture(tmp_path / "x.hex")
    assert capture.problems == ()
    shown = [view["type"] for view in capture_view(capture)["frames"]]
    assert shown == [row.message for row in WORKED]


def test_hex_words_and_faults() -> None:
    capture = read_hex("61A1 0801912C 0002D12C 0004B12C 00064145 E004B145 C1A43241\n0x0801912C\nzz\na3 03 00\n")
    assert capture.conversation.offers[0].pdos[3].text == "20 V 3.25 A"
    assert [pdo.text for pdo in capture.pasted_offers] == ["5 V 3 A"]
    assert [problem.place for problem in capture.problems] == ["line 3", "line 4"]
    wrong = read_hex("a3 03 6f ac fa 5e")
    assert wrong.frames[0].reason == "wrong CRC"
    assert wrong.conversation.events == ()


@pytest.mark.parametrize(
    ("name", "content", "tells"),
    [
        ("x.sigmf-meta", b"{", "JSON"),
        ("x.sigmf-meta", b'{"global": {}}', "core:datatype"),
        ("x.sigmf-meta", b'{"global": {"core:datatype": "cf32_le", "core:sample_rate": "fast"}}', "core:sample_rate"),
        ("x.npy", b"no array", "numpy.save"),
        ("x.wav", b"RIFF....WAVE", "WAV"),
        ("x.csv", b"a,b\nc,d\n", "time and volts"),
        ("x.vcd", b"$timescale 1 ns $end", "$var"),
        ("x.docx", b"", "one of"),
        ("none.csv", None, "readable file"),
    ],
)
def test_broken_files_are_told(tmp_path: Path, name: str, content: bytes | None, tells: str) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    (tmp_path / "x.sigmf-data").write_bytes(b"")
    capture = read_capture(tmp_path / name)
    assert capture.frames == ()
    assert any(tells in problem.text for problem in capture.problems)
    assert all(problem.next_step for problem in capture.problems)


def test_missing_scale_and_low_rate_are_told(tmp_path: Path) -> None:
    path = _sigmf(tmp_path, "ri16_le", np.round(VOLTS * 1e3).astype("<i2").tobytes())
    capture = read_capture(path)
    assert [frame.valid for frame in capture.frames] == [True] * COUNT
    assert "no scale for cc1" in capture.problems[0].text
    assert "sample rate" in read_capture(path, Options(rate_hz=48e3)).problems[0].text


def test_view_is_json(tmp_path: Path) -> None:
    view = capture_view(read_capture(_sigmf(tmp_path, "rf32_le", VOLTS.tobytes())))
    assert json.loads(json.dumps(view, allow_nan=False)) == view
    frame = next(frame for frame in view["frames"] if frame["type"] == "Source_Capabilities")
    assert frame["payload"] == WORKED[1].packet[:-4].hex()
    assert frame["fields"]["pdos"][3]["text"] == "20 V 3.25 A"
    assert view["contracts"][0]["pdo"]["word"] == "00064145"
    assert [frame["type"] for frame in view["frames"]].count("GoodCRC") == 9


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from([".npy", ".csv", ".wav", ".vcd", ".hex"]), st.binary(max_size=400))
def test_any_bytes_in_any_file(tmp_path: Path, suffix: str, data: bytes) -> None:
    magic = {".npy": b"\x93NUMPY\x01\x00", ".wav": b"RIFF\0\0\0\0WAVEfmt \x10\0\0\0", ".csv": b"0,1\n1,2\n"}
    for content in (data, magic.get(suffix, b"") + data):
        (tmp_path / f"x{suffix}").write_bytes(content)
        capture = read_capture(tmp_path / f"x{suffix}", Options(rate_hz=5e6))
        json.dumps(capture_view(capture), allow_nan=False)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.dictionaries(
        st.sampled_from(
            [
                "core:datatype", "core:sample_rate", "core:num_channels", "core:trailing_bytes",
                "partingline:channels", "partingline:scale_v", "partingline:offset_v",
            ]
        ),
        st.one_of(
            st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=8),
            st.sampled_from(["rf32_le", "ri8", "ri16_be"]), st.lists(st.floats(0.1, 2), max_size=3),
        ),
    )
)  # fmt: skip
def test_any_metadata(tmp_path: Path, fields: dict[str, object]) -> None:
    path = _sigmf(tmp_path, "rf32_le", VOLTS[:5000].tobytes(), **fields)
    capture = read_capture(path)
    assert capture.problems or capture.rate_hz


def _sound_file(suffix: str) -> bytes:
    part = VOLTS[:12000]
    raw = np.round(part * 1e4).astype("<i2")
    if suffix == ".wav":
        head = struct.pack("<HHIIHH", 1, 1, int(RATE_HZ), 0, 2, 16)
        body = b"WAVEfmt " + struct.pack("<I", 16) + head + b"data" + struct.pack("<I", raw.nbytes) + raw.tobytes()
        return b"RIFF" + struct.pack("<I", len(body)) + body
    if suffix == ".csv":
        return b"time,cc1\n" + b"\n".join(b"%.7e,%.3f" % (i / RATE_HZ, v) for i, v in enumerate(part[:2000]))
    if suffix == ".vcd":
        edges = [round(t * 1e9) for t, _ in level_steps(TALK.sent[0])]
        head = b"$timescale 1 ns $end $var wire 1 ! CC1 $end $enddefinitions $end\n#0\n1!\n"
        return head + b"\n".join(b"#%d\n%d!" % (t, i % 2) for i, t in enumerate(edges))
    return b"\n".join(row.packet.hex(" ").encode() for row in WORKED)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.sampled_from([".wav", ".csv", ".vcd", ".hex"]),
    st.lists(st.tuples(st.floats(0, 1), st.binary(max_size=6), st.integers(0, 40)), max_size=6),
)
def test_sound_files_with_damage(tmp_path: Path, suffix: str, cuts: list[tuple[float, bytes, int]]) -> None:
    """Bytes replaced, put in and taken out at random places of a file that was sound."""
    content = _sound_file(suffix)
    for place, put, taken in cuts:
        at = int(place * len(content))
        content = content[:at] + put + content[at + taken :]
    (tmp_path / f"x{suffix}").write_bytes(content)
    capture = read_capture(tmp_path / f"x{suffix}")
    json.dumps(capture_view(capture), allow_nan=False)
    assert all(frame.reason or frame.sop for frame in capture.frames)
