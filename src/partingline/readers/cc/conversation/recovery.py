"""VBUS around a hard reset: when it falls, reaches vSafe0V, rises again and is back at vSafe5V.

Limits of vSafe0V (0.8 V) and vSafe5V (4.75 V) as the Zephyr and ChromiumOS EC headers quote USB Type-C.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.conversation.vbus import envelope
from partingline.readers.cc.inputs.recording import Channel, Recording

SAFE_0V, SAFE_5V = 0.8, 4.75
LOOK_S = 3.0
"""How long after a reset is looked at: the longest recovery is 0.65 + 1.425 + 0.275 s."""
_BIN_S = 100e-6
_PIECE_S = 1.0


@dataclass(frozen=True, slots=True)
class Recovery:
    """Seconds after the end of the reset signalling; None where it did not happen within LOOK_S.

    falling_s: VBUS has left its level by 5 % of it; safe_0v_s: at or below 0.8 V; leaves_0v_s: above it again;
    safe_5v_s: at or above 4.75 V again.
    """

    before_v: float
    falling_s: float | None
    safe_0v_s: float | None
    leaves_0v_s: float | None
    safe_5v_s: float | None


def measure_recovery(recording: Recording, channel: Channel, *, reset_end_s: float) -> Recovery | None:
    """VBUS after a hard reset; None when the recording holds nothing before or behind it."""
    before = recording.values(channel, reset_end_s - 1e-3, reset_end_s)
    after = envelope(recording, channel, reset_end_s, reset_end_s + LOOK_S, _BIN_S)
    if before.size == 0 or after.mean.size == 0:
        return None
    level = float(before.mean())
    time = after.time_s - reset_end_s
    falling = _first(after.mean < 0.95 * level, time, 0)
    safe_0v = _first(after.mean <= SAFE_0V, time, 0)
    leaves = safe_5v = None
    if safe_0v is not None:
        start = int(np.searchsorted(time, safe_0v))
        leaves = _first(after.mean > SAFE_0V, time, start)
        safe_5v = _first(after.mean >= SAFE_5V, time, start)
    return Recovery(level, falling, safe_0v, leaves, safe_5v)


def level_crossings(recording: Recording, channel: Channel, level: float) -> Iterator[tuple[float, bool]]:
    """(time, rising) of every crossing of a level, on means over 100 µs, through the whole recording."""
    above: bool | None = None
    at_s = 0.0
    while at_s < recording.duration_s:
        piece = envelope(recording, channel, at_s, at_s + _PIECE_S, _BIN_S)
        states = piece.mean > level
        if states.size:
            joined = np.concatenate(([states[0] if above is None else above], states))
            for i in np.flatnonzero(joined[1:] != joined[:-1]).tolist():
                yield float(piece.time_s[i]), bool(states[i])
            above = bool(states[-1])
        at_s += _PIECE_S


def _first(holds: npt.NDArray[np.bool_], time: npt.NDArray[np.float64], start: int) -> float | None:
    found = np.flatnonzero(holds[start:])
    return float(time[start + found[0]]) if found.size else None
