"""How a sender lets go of the wire: the time that it holds it low behind the last edge of a frame."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.inputs.recording import Recording
from partingline.readers.cc.line.frame import Frame

LOOK_S = 30e-6
"""How far behind the frame is looked: a sender lets go after 23 µs at the latest."""
_BEFORE_S = 1.0e-6
"""Well inside the last bit, which both the end of a packet and a reset leave on one level."""
_LATEST_FALL_S = 6e-6
"""A last edge that goes high is followed by the falling one after one bit, 3.7 µs at most."""


def measure_hold(recording: Recording, frame: Frame) -> float | None:
    """Seconds below the middle of the frame's levels behind its last bit, before the pull-up lifts the wire.

    0 where the wire does not go low. None without levels, at the end of the recording, or where the wire idles below
    the middle, so that letting go is not seen. The rise of the idle level counts as held: some 0.5 µs too much.
    """
    channel = recording.channel(frame.channel)
    if channel is None or frame.low_v is None or frame.high_v is None:
        return None
    values = recording.values(channel, frame.end_s - _BEFORE_S, frame.end_s + LOOK_S)
    if len(values) < round(LOOK_S * recording.rate_hz):
        return None
    high = values > (frame.low_v + frame.high_v) / 2
    if not high[-1]:
        return None
    fall = _first(~high, _first(high, 0))
    if fall > (_BEFORE_S + _LATEST_FALL_S) * recording.rate_hz:
        return 0.0
    return (_first(high, fall) - fall) / recording.rate_hz


def _first(holds: npt.NDArray[np.bool_], start: int) -> int:
    """The first place from `start` on; the length where there is none."""
    found = np.flatnonzero(holds[start:])
    return start + int(found[0]) if found.size else len(holds)
