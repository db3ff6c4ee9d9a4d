"""A recorded conversation from file to contracts, with VBUS beside it."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from partingline.readers.cc import Capture, read_capture
from tests.readers.cc.dialogue import Dialogue, message, payload, sixty_five_watt
from tests.readers.cc.transmitter import Line, Sent, record, with_rate

RATE_HZ = 5e6
LINE = Line(rate_hz=RATE_HZ, idle_v=1.68, noise_pp_v=0.05, offset_v=0.1)


def _write(folder: Path, columns: dict[str, np.ndarray], scales: dict[str, float]) -> Path:
    raw = np.stack([np.round(columns[name] / scales[name]) for name in columns], axis=1).astype(">i2")
    meta = {
        "global": {
            "core:datatype": "ri16_be",
            "core:sample_rate": RATE_HZ,
            "core:num_channels": len(columns),
            "core:version": "1.2.0",
            "partingline:channels": list(columns),
            "partingline:scale_v": [scales[name] for name in columns],
        },
        "captures": [{"core:sample_start": 0}],
        "annotations": [],
    }
    (folder / "talk.sigmf-meta").write_text(json.dumps(meta))
    (folder / "talk.sigmf-data").write_bytes(raw.tobytes())
    return folder / "talk.sigmf-meta"


def _vbus(count: int, accept_s: float, *, slew: float, over_v: float) -> np.ndarray:
    """5 V, then from 10 ms after acceptance a ramp to 20 V, overshooting for 1 ms."""
    time = np.arange(count) / RATE_HZ - accept_s - 10e-3
    up = np.minimum(5 + np.maximum(time, 0) * slew, 20 + over_v)
    back_s = (15 + over_v) / slew + 1e-3
    return np.where(time > back_s, np.maximum(20 + over_v - (time - back_s) * slew, 20.0), up)


@pytest.fixture(scope="module")
def capture(tmp_path_factory: pytest.TempPathFactory) -> Capture:
    talk = sixty_five_watt(LINE)
    cc = record(talk.sent, length_s=talk.now_s + 2e-3, line=LINE)
    accept_s = talk.sent[8].start_s + len(talk.sent[8].bits) / 300e3
    vbus = _vbus(len(cc), accept_s, slew=5000.0, over_v=0.8)
    folder = tmp_path_factory.mktemp("talk")
    return read_capture(_write(folder, {"cc1": cc, "vbus": vbus}, {"cc1": 1e-4, "vbus": 1e-3}))


def test_every_frame_is_sound(capture: Capture) -> None:
    talk = sixty_five_watt(LINE)
    assert capture.problems == ()
    assert len(capture.frames) == len(talk.sent)
    assert all(frame.valid for frame in capture.frames)
    for frame, sent in zip(capture.frames, talk.sent, strict=True):
        assert frame.start_s == pytest.approx(sent.start_s, abs=2e-6)
        length = len(sent.bits) / sent.line.bit_rate_hz
        assert frame.end_s == pytest.approx(sent.start_s + length, abs=1e-6)


def test_contracts(capture: Capture) -> None:
    fixed, pps = capture.conversation.contracts
    assert (fixed.text, fixed.kind, fixed.power_w, fixed.offer) == ("20 V 3.25 A, ready", "fixed", 65.0, 0)
    assert (pps.text, pps.kind) == ("9 V 3 A, ready", "pps")
    assert fixed.end_s == pps.ready_s
    assert fixed.ended_by == "next contract"
    assert pps.ended_by == "hard reset"
    assert pps.end_s == pytest.approx(capture.conversation.resets[0].time_s)
    assert capture.conversation.adjustable_trace == ((pps.ready_s, 9.0, 3.0),)


def test_acknowledged_and_repeated(capture: Capture) -> None:
    events = capture.conversation.events
    assert [event.retries for event in events] == [0, 0, 0, 0, 0, 0, 1, 0, 0, 0]
    delays = [event.ack_delay_s for event in events[:-1]]
    assert delays == pytest.approx([60e-6] * len(delays), abs=2e-6)
    assert events[-1].ack_delay_s is None
    assert capture.conversation.stray_acks == ()
    assert [event.sender for event in events[:4]] == ["source", "plug", "source", "sink"]


def test_cable_offer_and_revision(capture: Capture) -> None:
    talk = capture.conversation
    assert talk.revision == "3.x"
    assert talk.cable is not None
    assert talk.cable.current_a == 5.0
    assert talk.cable_identity is not None
    assert talk.cable_identity.id_header.vid == 0x1234
    assert [pdo.text for pdo in talk.offers[0].pdos][3] == "20 V 3.25 A"


def test_senders_are_measured(capture: Capture) -> None:
    source, sink, plug = capture.conversation.senders
    assert source.bit_rate_hz == pytest.approx(300e3, rel=1e-3)
    assert sink.bit_rate_hz == pytest.approx(276e3, rel=1e-3)
    assert plug.frames == 2
    assert source.low_v == pytest.approx(0.1, abs=0.02)
    assert source.swing_v == pytest.approx(1.125, abs=0.03)


def test_vbus_beside_the_contract(capture: Capture) -> None:
    vbus = capture.conversation.contracts[0].vbus
    assert vbus is not None
    assert vbus.before_v == pytest.approx(5.0, abs=0.01)
    assert vbus.at_ready_v == pytest.approx(20.0, abs=0.01)
    assert vbus.overshoot_v == pytest.approx(0.8, abs=0.01)
    assert vbus.slew_v_per_s == pytest.approx(5000.0, rel=0.02)
    levels = capture.levels("vbus", 0.0, 0.02, 10)
    assert levels is not None
    assert levels.mean == pytest.approx([5.0] * 10, abs=0.01)


def _heard(talk: Dialogue) -> Capture:
    """Straight through the decoder, without a file."""
    from partingline.readers.cc.conversation.story import tell
    from partingline.readers.cc.line.decoder import decode_samples

    cc = record(talk.sent, length_s=talk.now_s + 2e-3, line=talk.line)
    frames = tuple(decode_samples(cc, rate_hz=talk.line.rate_hz))
    return Capture(Path("none"), "test", None, None, ("cc1",), frames, tell(frames), ())


def test_epr_entry_and_keep_alive() -> None:
    talk = Dialogue(LINE)
    keepalive = bytes.fromhex("90 9c 02 80 03 00")
    talk.say(payload("V10"))
    talk.say(message(10, 1, source=True, words=(2 << 24,)))
    talk.say(payload("V11"))
    for name in ("V12", "V13", "V14", "V15"):
        talk.say(payload(name))
    talk.say(message(3, 5, source=True))
    talk.say(message(6, 6, source=True), after_s=40e-3)
    for gap_s in (0.1, 0.02, 0.3):
        talk.say(keepalive, after_s=gap_s)
    heard = _heard(talk)
    session = heard.conversation.epr_sessions[0]
    assert session.sink_pdp_w == 140.0
    assert session.succeeded_s is not None
    assert session.ended_s is None
    assert session.longest_silence_s == pytest.approx(0.301, abs=2e-3)
    contract = heard.conversation.contracts[0]
    assert (contract.text, contract.kind, contract.epr) == ("24 V 5 A, ready", "epr_avs", True)
    offer = heard.conversation.offers[0]
    assert offer.epr
    assert offer.pdos[7].text == "28 V 5 A"


def test_reject_wait_and_silence() -> None:
    talk = Dialogue(LINE)
    talk.say(payload("V2"))
    for number, answer in enumerate((4, 12)):
        talk.say(message(2, number, source=False, words=(0x41051545,)))
        talk.say(message(answer, number + 1, source=True))
    talk.say(message(2, 2, source=False, words=(0x41051545,)), ack=False)
    outcomes = [contract.outcome for contract in _heard(talk).conversation.contracts]
    assert outcomes == ["rejected", "wait", "unanswered"]


def test_displayport_mode_of_a_dock() -> None:
    """Enter, then configure pin assignment D (two lanes beside USB 3) as UFP_D."""
    talk = Dialogue(LINE)
    talk.say(payload("V20"))
    talk.say(message(15, 1, source=True, words=(0xFF01A904,)))
    talk.say(message(15, 1, source=False, words=(0xFF01A944,)))
    talk.say(message(15, 2, source=True, words=(0xFF01A911, 0x00000806)))
    mode = _heard(talk).conversation.modes[0]
    assert mode.svid == 0xFF01
    assert mode.capabilities is not None
    assert mode.capabilities.sink_pins == "CD"
    assert mode.configure is not None
    assert (mode.configure.pins, mode.configure.lanes, mode.configure.configured_as) == ("D", 2, "UFP_D")
    assert mode.configure.rates == ("HBR2", "HBR3")


def test_second_channel_and_offset_between_ends() -> None:
    """The cable is in the other way round, and the ends' grounds differ by 0.4 V under load."""
    line = replace(LINE, offset_v=-0.2, idle_v=0.4)
    talk = Dialogue(line, replace(with_rate(line, 327e3), offset_v=0.2))
    talk.say(payload("V2"))
    talk.say(payload("V3"))
    source, sink = _heard(talk).conversation.senders
    assert source.low_v == pytest.approx(-0.2, abs=0.02)
    assert sink.low_v == pytest.approx(0.2, abs=0.02)


def test_message_cut_short_is_damaged_not_heard() -> None:
    talk = Dialogue(LINE)
    talk.say(payload("V2"), ack=False)
    whole = talk.sent[0]
    talk.sent[0] = Sent(whole.start_s, whole.bits[:150], whole.line)
    heard = _heard(talk)
    assert heard.conversation.events == ()
    assert [frame.sop for frame in heard.frames] == ["SOP"]
    assert "cut short" in (heard.frames[0].reason or "")


def test_vbus_recovers_from_a_hard_reset(tmp_path: Path) -> None:
    """5 V; 30 ms after the reset it falls in 100 ms, stays off for 700 ms, then rises at once."""
    line = replace(LINE, rate_hz=1.25e6, noise_pp_v=0.0)
    talk = Dialogue(line)
    end_s = talk.reset()
    cc = record(talk.sent, length_s=1.1, line=line)
    time = np.arange(len(cc)) / line.rate_hz - end_s
    vbus = np.interp(time, [0.03, 0.13, 0.83, 0.8301], [5.0, 0.0, 0.0, 5.0])
    path = _write(tmp_path, {"cc1": cc, "vbus": vbus}, {"cc1": 1e-4, "vbus": 1e-3})
    meta = json.loads(path.read_text())
    meta["global"]["core:sample_rate"] = line.rate_hz
    path.write_text(json.dumps(meta))
    capture = read_capture(path)
    recovery = capture.conversation.resets[0].vbus
    assert recovery is not None
    assert recovery.before_v == pytest.approx(5.0, abs=0.01)
    assert recovery.falling_s == pytest.approx(0.035, abs=5e-4)
    assert recovery.safe_0v_s == pytest.approx(0.03 + 0.1 * (1 - 0.8 / 5), abs=5e-4)
    assert recovery.leaves_0v_s == pytest.approx(0.83, abs=5e-4)
    assert recovery.safe_5v_s == pytest.approx(0.83, abs=5e-4)
    rises = [t for t, rising in capture.crossings("vbus", 4.75) if rising]
    assert rises == pytest.approx([end_s + 0.83], abs=5e-4)
