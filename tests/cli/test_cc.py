"""`partingline cc` as people and scripts meet it. The record is held against its committed schema (docs/schema);
what the messages mean stands with the worked messages (tests/readers/cc/worked.py)."""

import json
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pytest
from typer.testing import CliRunner

from partingline.cli.app import app
from tests.readers.cc.dialogue import Dialogue, payload, sixty_five_watt
from tests.readers.cc.transmitter import Line, record
from tests.readers.cc.worked import WORKED

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "demo" / "tern-65" / "captures" / "c1-attach.sigmf-meta"
LINE = Line(rate_hz=5e6, idle_v=1.68, noise_pp_v=0.05)


def run(*words: str) -> tuple[int, str, str]:
    done = CliRunner(env={"COLUMNS": "200"}).invoke(app, ["cc", *words])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.stdout, done.stderr


def view(*words: str) -> tuple[int, dict[str, Any]]:
    """Exit code and record, held against the committed schema."""
    code, out, _ = run(*words, "--json")
    made = json.loads(out)
    schema = json.loads((ROOT / "docs" / "schema" / "cc.json").read_text("utf-8"))
    jsonschema.validate(made, schema, cls=jsonschema.Draft202012Validator)
    assert isinstance(made, dict)
    return code, made


def test_the_demonstration_as_text() -> None:
    code, out, _ = run(str(DEMO))
    assert code == 1
    for words in ("2.5 MS/s", "46 frames, 0 damaged", "Request: #4 3.25 A", "20 V 3.25 A, ready", "VBUS 20.14 V"):
        assert words in out
    assert "falls short" in out
    assert "it offers 15 V at 2.4 A" in out.replace("\u202f", " ")


def test_the_demonstration_as_a_record() -> None:
    code, made = view(str(DEMO))
    assert code == 1
    assert made["kind"] == "SigMF"
    frames = made["frames"]
    assert len(frames) == 46
    assert all(frame["valid"] and frame["reason"] is None for frame in frames)
    assert [frame["type"] for frame in frames[:2]] == ["Vendor_Defined", "GoodCRC"]
    assert frames[0]["payload"] == "8f1001a800ff"
    assert frames[1]["acknowledges"] == "Vendor_Defined"
    assert [contract["outcome"] for contract in made["contracts"]] == ["ready"] * 6
    short = {finding["rule"] for finding in made["findings"] if finding["verdict"] == "falls short"}
    assert short == {"protocol.required_fixed_objects"}
    judged = {finding["rule"] for finding in made["findings"]}
    assert {"protocol.inter_frame_gap", "protocol.vbus_at_power_ready", "protocol.first_offer_delay"} <= judged


def test_a_conversation_that_ends_in_a_hard_reset(tmp_path: Path) -> None:
    talk = sixty_five_watt(LINE)
    np.save(tmp_path / "talk.npy", record(talk.sent, length_s=talk.now_s + 2e-3, line=LINE))
    _, made = view(str(tmp_path / "talk.npy"), "--rate", "5e6")
    assert [contract["text"] for contract in made["contracts"]] == ["20 V 3.25 A, ready", "9 V 3 A, ready"]
    assert made["contracts"][1]["ended_by"] == "hard reset"
    assert made["conversation"]["cable"]["current_a"] == 5.0
    assert made["frames"][-1]["sop"] == "Hard Reset"


@pytest.mark.parametrize("row", WORKED, ids=lambda row: row.name)
def test_every_worked_message_pasted_as_hex(row: Any) -> None:
    _, made = view("--hex", f"{row.sop} {row.packet.hex(' ')}")
    (frame,) = made["frames"]
    assert frame["valid"]
    assert (frame["sop"], frame["type"]) == (row.sop, row.message)
    assert frame["payload"] == row.packet[:-4].hex()


def test_pasted_messages_are_not_judged_on_time() -> None:
    lines = "\n".join(f"SOP {payload(name).hex(' ')}" for name in ("V2", "V3", "V4", "V5"))
    code, made = view("--hex", lines)
    assert [contract["text"] for contract in made["contracts"]] == ["20 V 3.25 A, ready"]
    rules = {finding["rule"] for finding in made["findings"]}
    assert "protocol.requests_within_offers" in rules
    assert not rules & {"protocol.goodcrc_delay", "protocol.power_ready_delay", "protocol.power_ready_not_early",
                        "protocol.inter_frame_gap", "protocol.messages_acknowledged"}  # fmt: skip
    assert code == 0


def test_pasted_object_words() -> None:
    _, out, _ = run("--hex", "0x0801912C 0x0002D12C")
    assert "5 V 3 A" in out
    assert "9 V 3 A" in out


def test_what_a_paste_does_not_tell_is_null_and_not_printed() -> None:
    paste = f"{payload('V2').hex(' ')}\n0x0801912C"
    _, made = view("--hex", paste)
    assert {made["frames"][0][name] for name in ("bit_rate_hz", "symbols_matched", "preamble_bits", "low_v")} == {None}
    assert made["senders"][0]["bit_rate_hz"] is None
    kinds = [pdo["kind"] for pdo in made["frames"][0]["fields"]["pdos"]]
    assert kinds == ["fixed"] * 4 + ["spr_avs", "pps"]
    _, out, _ = run("--hex", paste)
    assert "kbit/s" not in out
    assert "not acknowledged" not in out
    assert "Objects" in out
    assert "Conversation" in out


def test_a_cable_whose_answer_was_not_pasted_is_not_held_against_the_source() -> None:
    paste = "\n".join((f"SOP' {payload('V8').hex(' ')}", payload("V2").hex(" ")))
    _, made = view("--hex", paste)
    (finding,) = (one for one in made["findings"] if one["rule"] == "protocol.over_3_a_needs_5_a_cable")
    assert finding["verdict"] != "falls short"


def test_counts_are_not_shown_as_volts(tmp_path: Path) -> None:
    path = str(counts(tmp_path))
    _, made = view(path, "--rate", "5e6", "--channels", "vbus,cc1")
    assert made["senders"][0]["swing_v"] is None
    assert made["frames"][0]["high_v"] is None
    _, out, _ = run(path, "--rate", "5e6", "--channels", "vbus,cc1")
    assert "counts, low at" in out


def test_where_nothing_was_sent_the_levels_are_told_and_nothing_is_judged(tmp_path: Path) -> None:
    np.save(tmp_path / "flat.npy", np.full(100_000, 0.41))
    code, made = view(str(tmp_path / "flat.npy"), "--rate", "5e6")
    assert code == 1
    assert made["findings"] == []
    assert [problem["found"] for problem in made["problems"]] == ["no frame: the channel lies between 0.41 and 0.41 V"]


def test_a_pasted_message_with_a_wrong_checksum_is_damaged() -> None:
    _, made = view("--hex", "SOP 81 00 f5 bb 41 64")
    assert [(frame["valid"], frame["reason"]) for frame in made["frames"]] == [(False, "wrong CRC")]


def counts(folder: Path) -> Path:
    """Two channels of 12-bit counts about 2048, VBUS first."""
    talk = Dialogue(LINE)
    talk.say(payload("V2"))
    cc = record(talk.sent, length_s=talk.now_s + 2e-3, line=LINE)
    pair = np.stack((np.full(len(cc), 2048 + 500), 2048 + np.round(cc / 1e-2)), axis=1)
    np.save(folder / "counts.npy", pair.astype(np.int16))
    return folder / "counts.npy"


def test_options_name_channels_and_scale(tmp_path: Path) -> None:
    path = str(counts(tmp_path))
    _, made = view(path, "--rate", "5e6", "--channels", "vbus, cc1", "--scale", "0.01", "--offset", "-20.48")
    assert made["channels"] == ["vbus", "cc1"]
    assert [frame["type"] for frame in made["frames"]] == ["Source_Capabilities", "GoodCRC"]
    assert made["senders"][0]["swing_v"] == pytest.approx(1.125, abs=0.03)
    assert made["senders"][0]["low_v"] == pytest.approx(0.0, abs=0.03)


def test_a_rate_that_is_not_told_is_asked_for(tmp_path: Path) -> None:
    code, made = view(str(counts(tmp_path)))
    assert code == 1
    assert "rate" in " ".join(problem["text"] for problem in made["problems"])


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("x.sigmf-meta", b"{"),
        ("x.sigmf-meta", b'{"global": {"core:datatype": "cf32_le", "core:sample_rate": 1e6}}'),
        ("x.npy", b"\x93NUMPY"),
        ("x.csv", b"time,CC1\n0,zero\n"),
        ("x.wav", b"RIFF"),
        ("x.vcd", b"$timescale"),
        ("x.hex", b"no message here"),
        ("x.png", b"\x89PNG"),
        ("x.csv", b""),
        ("x.npy", bytes(range(256))),
    ],
)
def test_a_broken_file_is_told_not_thrown(tmp_path: Path, name: str, data: bytes) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    code, made = view(str(path))
    assert code == 1
    assert made["frames"] == []
    assert made["problems"]
    for problem in made["problems"]:
        assert "x." in problem["place"] or "line" in problem["place"]
        assert problem["expected"]
        assert problem["next_step"]
    code, out, _ = run(str(path))
    assert code == 1
    assert "expected" in out


def test_no_file() -> None:
    code, _, err = run("nowhere.sigmf-meta")
    assert code == 2
    assert "no such file" in err
    code, _, err = run()
    assert code == 2
    assert "--hex" in err
    assert "None" not in err
