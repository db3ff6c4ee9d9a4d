"""What a recording says of the picture: the lanes that DisplayPort was given, and the fastest rate of the chain."""

from collections.abc import Iterator

from partingline.facts.statements.captured import Witness
from partingline.model import Sense, Statement
from partingline.readers.cc.conversation.modes import AlternateMode
from partingline.readers.cc.objects import CableVdo

_RATES = {"HBR2": 5.4e9, "HBR3": 8.1e9, "UHBR10": 10e9, "UHBR13.5": 13.5e9, "UHBR20": 20e9}
_CABLE = {1: 5.4e9, 2: 8.1e9, 3: 20e9, 4: 20e9}
"""What a cable of each speed carries on a lane, bit/s (from memory)."""


def video_statements(witness: Witness) -> Iterator[Statement]:
    """Lanes and lane rate of the last DisplayPort configuration; the rate is the highest that both ends and the cable
    tell: what the link then trained to does not show on the CC wire."""
    talk = witness.capture.conversation
    configured = [mode for mode in talk.modes if mode.configure is not None and mode.configure.lanes]
    for mode in configured[-1:]:
        if mode.configure is None:
            continue
        span = (mode.entered_s, mode.exited_s if mode.exited_s is not None else witness.end_s)
        bare = talk.cable is not None and talk.cable.speed_code == 0
        lanes = 0 if bare else mode.configure.lanes
        note = "the cable has no lanes" if bare else f"pin assignment {mode.configure.pins}"
        yield witness.says("video_lanes", float(lanes), span, note, half_width=0.0)
        rate, note = _rate(mode, talk.cable)
        yield witness.says("video_lane_rate", rate, span, note, half_width=0.0, sense=Sense.AT_MOST)


def _rate(mode: AlternateMode, cable: CableVdo | None) -> tuple[float, str]:
    told = [set(one.rates) for one in (mode.configure, mode.capabilities) if one is not None]
    name = max(set.intersection(*told), key=lambda rate: _RATES[rate])
    carried = _CABLE.get(cable.speed_code) if cable is not None else None
    if carried is not None and carried < _RATES[name]:
        return carried, f"{name} of both ends, less through a cable of {cable.speed if cable else ''}"
    return _RATES[name], f"{name} as configured" + ("" if cable is not None else "; the cable was not read")
