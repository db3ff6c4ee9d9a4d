"""What recordings of the wire say as facts. Frames are put in place by hand at known times, so that every time that
must come out is known; levels and holds come from the transmitter model."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest

from partingline.facts import Book
from partingline.facts.statements.captures import capture_statements, captured_ports
from partingline.model import Key, Number, Port, Statement
from partingline.readers.cc import Capture, read_capture, read_hex
from partingline.readers.cc.conversation.story import tell
from partingline.readers.cc.line.frame import Frame
from partingline.readers.folder import Folder
from tests.readers.cc.dialogue import Dialogue, good_crc, message, payload
from tests.readers.cc.transmitter import Line, record

CABLE_ASKED = bytes.fromhex("8f1001a800ff")
KEEPALIVE = bytes.fromhex("909c02800300")


@dataclass
class Frames:
    """Frames of 0.5 ms at given times, each acknowledged 0.1 ms behind it unless told otherwise."""

    made: list[Frame] = field(default_factory=list)

    def at(self, start_s: float, data: bytes, *, sop: str = "SOP", ack: bool = True) -> Frames:
        self._put(start_s, data, sop)
        if ack:
            self._put(start_s + 0.6e-3, good_crc(data, sop), sop)
        return self

    def reset(self, start_s: float) -> Frames:
        return self._put(start_s, b"", "Hard Reset")

    def capture(self, end_s: float) -> Capture:
        frames = tuple(self.made)
        return Capture(Path("talk.vcd"), "VCD", None, end_s, ("cc1",), frames, tell(frames), ())

    def _put(self, start_s: float, data: bytes, sop: str) -> Frames:
        self.made.append(Frame(start_s, start_s + 0.5e-3, sop, data, None, 0, 300e3, 0.0, 4, 64, None, None))
        return self


def facts(capture: Capture, root: Path, ports: tuple[Port, ...] = ()) -> Book:
    (root / capture.path.name).touch()
    return Book(capture_statements({capture.path.name: capture}, Folder(root), ports))


def value(book: Book, quantity: str, **at: float | str) -> float | None:
    found = book.find(quantity, "capture:talk", **at)
    return found[0].value if found else None


def note(book: Book, quantity: str) -> str:
    fact = book.fact(Key.of("capture:talk", quantity))
    assert fact is not None
    return fact.preferred.note


def test_offers_that_nobody_answers(tmp_path: Path) -> None:
    frames = Frames()
    for start_s in (0.1, 0.25, 0.43):
        frames.at(start_s, payload("V2"), ack=False)
    book = facts(frames.at(0.5, payload("V2")).at(0.7, payload("V2")).capture(1.0), tmp_path)
    assert value(book, "offer_period") == pytest.approx(0.07)
    assert value(book, "longest_offer_period") == pytest.approx(0.18)


def test_a_message_of_the_device_without_goodcrc_is_told(tmp_path: Path) -> None:
    frames = Frames().at(0.01, payload("V2")).at(0.02, payload("V3"), ack=False).at(0.03, payload("V4"))
    book = facts(frames.at(0.0995, payload("V6"), ack=False).capture(0.1), tmp_path)
    assert value(book, "unacknowledged_messages") == 1
    assert "20.000 ms" in note(book, "unacknowledged_messages")


# Word by word: object 4 at 3.30 A of 3.25 A, object 7 of 6, 4.9 V PPS under 5 V, AVS on 25 mV; 0x1445_15xx as in V3.
@pytest.mark.parametrize(
    ("word", "fault"),
    [
        (4 << 28 | 1 << 24 | 330 << 10 | 330, "3.3 A of 3.25 A"),
        (4 << 28 | 1 << 26 | 325 << 10 | 500, ""),
        (4 << 28 | 325 << 10 | 325, ""),
        (7 << 28 | 100 << 10 | 100, "object 7 of 6"),
        (6 << 28 | 245 << 9 | 60, "4.9 V outside 5 to 21 V"),
        (6 << 28 | 450 << 9 | 66, "3.3 A of 3.25 A"),
        (5 << 28 | 601 << 9 | 60, "off the 100 mV steps"),
        (5 << 28 | 600 << 9 | 60, ""),
        (5 << 28 | 340 << 9 | 60, "8.5 V outside 9 to 20 V"),
    ],
)
@pytest.mark.parametrize("granted", [True, False])
def test_requests_beside_what_was_offered(tmp_path: Path, word: int, fault: str, granted: bool) -> None:
    """Layout of request objects: section 5.3 of the standard's tables as four header files quote them."""
    answer = message(3 if granted else 4, 1, source=True)
    frames = Frames().at(0.01, payload("V2")).at(0.02, message(2, 0, source=False, words=(word,))).at(0.03, answer)
    book = facts(frames.capture(0.1), tmp_path)
    assert value(book, "invalid_requests") == bool(fault)
    assert fault in note(book, "invalid_requests")
    assert value(book, "granted_invalid_requests") == (float(granted) if fault else None)
    assert value(book, "request_answer_delay") == pytest.approx(0.03 + 0.5e-3 - 0.02 - 1.1e-3)


def test_wait_and_silence(tmp_path: Path) -> None:
    request = message(2, 0, source=False, words=(0x41051545,))
    frames = Frames().at(0.01, payload("V2")).at(0.02, request).at(0.03, message(12, 1, source=True))
    again = message(2, 1, source=False, words=(0x41051545,))
    book = facts(frames.at(0.12, again).capture(0.3), tmp_path)
    assert value(book, "request_wait") == pytest.approx(0.12 - 0.0305)
    assert value(book, "unanswered_requests") == 1


def programmable() -> Frames:
    frames = Frames().at(0.01, payload("V2"))
    frames.at(0.02, message(2, 0, source=False, words=(0x6103843C,))).at(0.03, message(3, 1, source=True))
    return frames.at(0.06, message(6, 2, source=True))


def test_a_programmable_contract_that_is_given_up(tmp_path: Path) -> None:
    book = facts(programmable().reset(13.4).capture(14.0), tmp_path)
    assert value(book, "pps_request_gap") == pytest.approx(13.38)
    assert value(book, "pps_timeout") == pytest.approx(13.38)


def test_a_programmable_contract_that_is_never_given_up(tmp_path: Path) -> None:
    book = facts(programmable().capture(20.0), tmp_path)
    assert value(book, "pps_timeout") == pytest.approx(19.98)
    quiet = tmp_path / "short"
    quiet.mkdir()
    assert value(facts(programmable().capture(8.0), quiet), "pps_timeout") is None


def extended(*, cable: bool, acknowledged: bool = True) -> Frames:
    frames = Frames()
    if cable:
        frames.at(0.001, payload("V8"), sop="SOP'").at(0.005, payload("V9"), sop="SOP'")
    frames.at(0.01, payload("V10"))
    if acknowledged:
        frames.at(0.02, message(10, 1, source=True, words=(2 << 24,)))
    frames.at(0.11, payload("V11"))
    for start_s, name in ((0.12, "V12"), (0.13, "V13"), (0.14, "V14"), (0.15, "V15")):
        frames.at(start_s, payload(name))
    return frames.at(0.16, message(3, 5, source=True)).at(0.26, message(6, 6, source=True))


def test_extended_range_entered_kept_and_left(tmp_path: Path) -> None:
    frames = extended(cable=True)
    for start_s in (0.4, 0.85):
        frames.at(start_s, KEEPALIVE)
    book = facts(frames.reset(1.75).capture(2.0), tmp_path)
    assert value(book, "epr_entry_time") == pytest.approx(0.1)
    assert value(book, "epr_entry_faults") == 0
    assert value(book, "epr_keepalive_gap") == pytest.approx(0.9)
    assert value(book, "epr_timeout") == pytest.approx(0.9)
    assert value(book, "power_ready_delay", range="extended") == pytest.approx(0.1)


def test_steps_of_the_entry_that_are_missing(tmp_path: Path) -> None:
    book = facts(extended(cable=False, acknowledged=False).capture(0.5), tmp_path)
    assert value(book, "epr_entry_faults") == 2


def test_a_port_tells_its_revision_and_power(tmp_path: Path) -> None:
    frames = Frames().at(0.01, payload("V2")).at(0.02, payload("V16")).at(0.03, payload("V17"))
    book = facts(frames.capture(0.1), tmp_path, (Port("C1", "USB-C"),))
    told = {fact.key.id: fact.preferred.value for fact in book.find("stated_power", "port:C1")}
    assert told == {"port:C1/stated_power@message=Source_Info": Number(140.0)}
    output = book.fact(Key.of("port:C1", "output_power"))
    assert output is not None
    assert output.value == 140
    revision = book.fact(Key.of("port:C1", "pd_revision"))
    assert revision is not None
    assert revision.text == "3.2"


@pytest.mark.parametrize(
    ("frames", "current"),
    [
        (Frames().at(0.01, payload("V2")), None),
        (Frames().at(0.001, CABLE_ASKED, sop="SOP'", ack=False).at(0.01, payload("V2")), 3.0),
        (
            Frames().at(0.001, payload("V8"), sop="SOP'").at(0.005, payload("V9"), sop="SOP'").at(0.01, payload("V2")),
            5.0,
        ),
        (
            Frames().at(0.001, payload("V2")).at(0.01, payload("V8"), sop="SOP'").at(0.015, payload("V9"), sop="SOP'"),
            None,
        ),
    ],
    ids=["never asked", "asked, no answer", "5 A told before", "5 A told only behind the offer"],
)
def test_the_cable_counts_as_it_was_known_at_the_offer(tmp_path: Path, frames: Frames, current: float | None) -> None:
    capture = frames.capture(0.1)
    (tmp_path / "talk.vcd").touch()
    (port,) = captured_ports((Port("C1", "USB-C"),), {"talk.vcd": capture}, {}, Folder(tmp_path))
    assert port.offer_lists[0].cable_current == current


def test_pasted_messages_have_no_times(tmp_path: Path) -> None:
    text = "\n".join(f"SOP {payload(name).hex(' ')}" for name in ("V2", "V3", "V4", "V5"))
    capture = read_hex(text, path=tmp_path / "talk.hex")
    (tmp_path / "talk.hex").write_text(text)
    said: Sequence[Statement] = list(capture_statements({"talk.hex": capture}, Folder(tmp_path)))
    quantities = {statement.key.quantity for statement in said}
    assert quantities == {"damaged_frames", "retry_count", "pd_revision", "invalid_requests"}


def recorded(folder: Path) -> Capture:
    """An attach, a contract of 20 V and a hard reset with its recovery, VBUS beside it; 2.5 MS/s, 16 bit."""
    rate_hz = 2.5e6
    line = Line(rate_hz=rate_hz, idle_v=1.68)
    talk = Dialogue(line, now_s=0.05)
    for name in ("V8", "V9"):
        talk.say(payload(name), sop="SOP'")
    for name in ("V2", "V3", "V4"):
        talk.say(payload(name))
    accept_s = talk.now_s
    ready_s = talk.say(payload("V5"), after_s=60e-3)
    reset_s = talk.reset(after_s=20e-3)
    cc = record(talk.sent, length_s=reset_s + 1.2, line=line)
    corners = [(0, 0), (0.010, 0), (0.0105, 5), (accept_s + 0.03, 5), (accept_s + 0.04, 20), (reset_s + 0.030, 20),
               (reset_s + 0.130, 0), (reset_s + 0.800, 0), (reset_s + 0.850, 5), (99, 5)]  # fmt: skip
    assert ready_s > accept_s + 0.04
    vbus = np.interp(np.arange(len(cc)) / rate_hz, *zip(*corners, strict=True))
    head = {"core:datatype": "ri16_le", "core:sample_rate": rate_hz, "core:num_channels": 2, "core:version": "1.2.0",
            "partingline:channels": ["cc1", "vbus"], "partingline:scale_v": [1e-4, 1e-3]}  # fmt: skip
    raw = np.stack((np.round(cc / 1e-4), np.round(vbus / 1e-3)), axis=1).astype("<i2")
    (folder / "talk.sigmf-data").write_bytes(raw.tobytes())
    (folder / "talk.sigmf-meta").write_text(json.dumps({"global": head, "captures": [], "annotations": []}))
    return read_capture(folder / "talk.sigmf-meta")


def test_levels_and_times_of_a_recording_with_vbus(tmp_path: Path) -> None:
    book = facts(recorded(tmp_path), tmp_path)
    assert value(book, "first_offer_delay") == pytest.approx(0.0625 - 0.0105, abs=0.01)
    assert value(book, "inter_frame_gap") == pytest.approx(60e-6, abs=1e-6)
    assert value(book, "low_hold_time") == pytest.approx(2e-6, abs=0.9e-6)
    assert value(book, "signal_swing", sender="source") == pytest.approx(1.125, abs=0.02)
    assert value(book, "vbus_level", state="power ready") == pytest.approx(20.0, abs=0.01)
    assert value(book, "vbus_slew") == pytest.approx(1500, rel=0.05)
    assert value(book, "vbus_overshoot") == pytest.approx(0.0, abs=2e-3)
    assert value(book, "reset_fall_delay") == pytest.approx(0.035, abs=1e-3)
    assert value(book, "reset_discharge_time") == pytest.approx(0.126, abs=1e-3)
    assert value(book, "reset_off_time") == pytest.approx(0.808, abs=1e-3)
    assert value(book, "reset_turn_on_time") == pytest.approx(0.0395, abs=1e-3)
