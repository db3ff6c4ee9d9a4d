"""Requests that are refused, with VBUS beside them, and the object that a request in the extended range copies."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from partingline.model import Key
from partingline.readers.cc import Capture, read_capture
from tests.facts.test_captures import Frames, extended, facts, note, value
from tests.readers.cc.dialogue import Dialogue, message, payload
from tests.readers.cc.transmitter import Line, record

REJECT, WAIT = 4, 12
FIXED_15_V = 0x3004B12C
"""Position 3, 3 A and 3 A (section 5.3 of the standard's tables as four header files quote them)."""


def refused(folder: Path, *, first: bool, answer: int, moves_to: float, length_s: float = 0.7) -> Capture:
    """A request of 15 V that is refused, before any contract or with 20 V in force; VBUS then goes to `moves_to`."""
    rate_hz, line = 1e6, Line(rate_hz=1e6)
    talk = Dialogue(line, now_s=0.01)
    talk.say(payload("V2"))
    level = 5.0 if first else 20.0
    corners = [(0.0, 5.0)]
    if not first:
        for name in ("V3", "V4"):
            talk.say(payload(name))
        corners += [(talk.now_s + 0.03, 5.0), (talk.now_s + 0.04, 20.0)]
        talk.say(payload("V5"), after_s=60e-3)
    talk.say(message(2, 2, source=False, words=(FIXED_15_V,)))
    at_s = talk.say(message(answer, 3, source=True))
    corners += [(at_s + 0.05, level), (at_s + 0.15, moves_to), (99.0, moves_to)]
    cc = record(talk.sent, length_s=length_s, line=line)
    vbus = np.interp(np.arange(len(cc)) / rate_hz, *zip(*corners, strict=True))
    head = {"core:datatype": "rf32_le", "core:sample_rate": rate_hz, "core:num_channels": 2, "core:version": "1.2.0",
            "partingline:channels": ["cc1", "vbus"]}  # fmt: skip
    (folder / "talk.sigmf-data").write_bytes(np.stack((cc, vbus), axis=1).astype("<f4").tobytes())
    (folder / "talk.sigmf-meta").write_text(json.dumps({"global": head, "captures": [], "annotations": []}))
    return read_capture(folder / "talk.sigmf-meta")


@pytest.mark.parametrize("answer", [REJECT, WAIT])
@pytest.mark.parametrize(("first", "level"), [(True, 5.0), (False, 20.0)])
@pytest.mark.parametrize("moved", [0.0, 2.0])
def test_vbus_behind_a_refusal(tmp_path: Path, answer: int, first: bool, level: float, moved: float) -> None:
    book = facts(refused(tmp_path, first=first, answer=answer, moves_to=level + moved), tmp_path)
    found = value(book, "vbus_level", state="behind a refusal", offer=level)
    assert found == pytest.approx(level + moved, abs=1e-3)


def test_what_was_in_force_must_be_known(tmp_path: Path) -> None:
    """A recording that begins with 9 V on VBUS and no contract in it tells nothing of what was in force."""
    capture = refused(tmp_path, first=True, answer=REJECT, moves_to=5.0)
    data = np.fromfile(tmp_path / "talk.sigmf-data", "<f4").reshape(-1, 2)
    data[:, 1] = 9.0
    (tmp_path / "talk.sigmf-data").write_bytes(data.tobytes())
    book = facts(read_capture(capture.path), tmp_path)
    assert value(book, "vbus_level", state="behind a refusal") is None


def test_the_object_that_a_request_copies(tmp_path: Path) -> None:
    book = facts(extended(cable=True).capture(0.5), tmp_path)
    assert value(book, "wrong_object_copies") == 0


@pytest.mark.parametrize(
    ("words", "tells"),
    [
        ((0x91478064, 0x0008C1F4), "28 V 5 A beside the EPR AVS 15-28 V 140 W of object 9"),
        ((0x91478064,), "no copy of object 9"),
    ],
)
def test_another_object_than_the_one_asked_for(tmp_path: Path, words: tuple[int, ...], tells: str) -> None:
    """Object 9 of the worked extended list is the AVS one; its neighbour is copied here, or none."""
    frames: Frames = extended(cable=True)
    frames.at(0.30, message(9, 7, source=False, words=words))
    book = facts(frames.capture(0.5), tmp_path)
    assert value(book, "wrong_object_copies") == 1
    assert tells in note(book, "wrong_object_copies")
    assert book.fact(Key.of("capture:talk", "invalid_requests")) is not None
