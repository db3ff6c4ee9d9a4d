"""The volts of the CC line and VBUS as a two-channel recorder at the charger's receptacle takes them."""

import hashlib
import json
import zlib

import numpy as np

from model.cc.packets import wire_bits
from model.cc.talk import BIT_RATES, Frame, Talk
from model.instruments import Floats
from model.truth import OUTPUT

RATE = 2.5e6
IDLE = 330e-6 * 5.08e3  # V: 3 A pull-up into the sink's resistor
HIGH = {"source": 1.138, "sink": 1.142, "cable": 1.140}
LOW = {"source": 0.018, "sink": 0.024, "cable": 0.031}
EDGE = {"source": 0.19e-6, "sink": 0.21e-6, "cable": 0.20e-6}  # s, time constants: 10-90 % in 2.2 of them
RELEASE = 2.0e-6  # s: the pull-up charges the line's capacitance
GROUND = 0.042  # ohm of the cable's return: lifts the sink's ground
HOLD_LOW = 6e-6
CC_STEP, VBUS_STEP = 1e-3, 8e-3  # V, one code of the 12-bit recorder
CC_SCALE, VBUS_SCALE = 1e-4, 1e-3  # V a count in the file


def sigmf(talk: Talk) -> tuple[str, bytes]:
    """The `.sigmf-meta` text and the `.sigmf-data` bytes: ri16_le, CC and VBUS sample by sample."""
    times = np.arange(int(talk.now * RATE)) / RATE
    load = _load(talk, times)
    rng = np.random.default_rng(zlib.crc32(b"cc recording"))
    cc = _cc(talk, times, load) + _pickup(times, load) + 7e-3 * rng.standard_normal(times.size)
    vbus = _vbus(talk, times, load) + 12e-3 * rng.standard_normal(times.size)
    counts = np.empty((times.size, 2), dtype="<i2")
    counts[:, 0] = np.round(np.round(cc / CC_STEP) * (CC_STEP / CC_SCALE))
    counts[:, 1] = np.round(np.round(vbus / VBUS_STEP) * (VBUS_STEP / VBUS_SCALE))
    data = counts.tobytes()
    return _meta(data), data


def _load(talk: Talk, times: Floats) -> Floats:
    starts = np.array([start for start, _ in talk.load_steps])
    amperes = np.array([0.0, *(amps for _, amps in talk.load_steps)])
    return np.asarray(amperes[np.searchsorted(starts, times, side="right")], dtype=np.float64)


def _pickup(times: Floats, load: Floats) -> Floats:
    """Switching noise of the converter on the unshielded line, stronger under load."""
    return np.asarray((2e-3 + 4e-3 * load) * np.sin(2 * np.pi * 121e3 * times), dtype=np.float64)


def _cc(talk: Talk, times: Floats, load: Floats) -> Floats:
    volts = IDLE + GROUND * load
    for frame in talk.frames:
        first = int(np.searchsorted(times, frame.start - 2e-6))
        last = int(np.searchsorted(times, frame.end + 60e-6))
        lift = GROUND * float(load[first]) if frame.speaker.name != "source" else 0.0
        volts[first:last] = _frame(frame, times[first:last], lift, volts[first:last])
    return volts


def _edges(frame: Frame) -> tuple[list[float], list[int], float]:
    """Instants and new levels (0, 1) of every edge, and the instant at which the driver lets go."""
    unit = 1 / BIT_RATES[frame.speaker.name]
    instants, levels, level = [], [], 1
    for k, bit in enumerate(wire_bits(frame.ordered_set, frame.data)):
        for part in (0.0, 0.5)[: bit + 1]:
            level = 1 - level
            instants.append(frame.start + (k + part) * unit)
            levels.append(level)
    instants.append(frame.end)
    levels.append(1 - level)
    if level == 0:  # the closing edge went high: one unit interval high, then low before the driver lets go
        instants.append(frame.end + unit)
        levels.append(0)
    return instants, levels, instants[-1] + HOLD_LOW


def _frame(frame: Frame, times: Floats, lift: float, idle: Floats) -> Floats:
    who = frame.speaker.name
    instants, levels, release = _edges(frame)
    table = np.array([LOW[who], HIGH[who]]) + lift
    after = table[np.array(levels)]
    before = np.concatenate([[idle[0]], after[:-1]])
    index = np.searchsorted(np.array(instants), times, side="right") - 1
    known = np.maximum(index, 0)
    settling = np.exp(-np.maximum(0.0, times - np.array(instants)[known]) / EDGE[who])
    driven = after[known] + (before - after)[known] * settling
    free = idle + (table[0] - idle) * np.exp(-np.maximum(0.0, times - release) / RELEASE)
    return np.asarray(np.where(index < 0, idle, np.where(times > release, free, driven)), dtype=np.float64)


def _vbus(talk: Talk, times: Floats, load: Floats) -> Floats:
    """Straight moves at the told slopes, rounded by the output capacitors, less the drop of the load current."""
    volts = np.zeros(times.size)
    level = 0.0
    for start, target, slope in talk.voltage_steps:
        aim = target + OUTPUT.sense_offset
        moved = np.clip((times - start) * slope, 0.0, abs(aim - level))
        volts += np.copysign(moved, aim - level)
        level = aim
    drop = (OUTPUT.port_resistance + OUTPUT.common_resistance) * load
    return np.asarray(_smooth(volts - drop, 0.25e-3), dtype=np.float64)


def _smooth(values: Floats, width: float) -> Floats:
    """Mean over `width` seconds behind each sample."""
    count = round(width * RATE)
    sums = np.cumsum(np.concatenate([np.full(count, values[0]), values]))
    return np.asarray((sums[count:] - sums[:-count]) / count, dtype=np.float64)


def _meta(data: bytes) -> str:
    meta = {
        "global": {
            "core:datatype": "ri16_le",
            "core:num_channels": 2,
            "core:sample_rate": RATE,
            "core:version": "1.2.0",
            "core:sha512": hashlib.sha512(data).hexdigest(),
            "core:description": "Invented: CC line and VBUS of C1 at the receptacle, from attach to a 15 V contract.",
            "core:hw": "12-bit recorder (simulated), 2 channels",
            "core:extensions": [{"name": "partingline", "version": "0.1.0", "optional": True}],
            "partingline:port": "C1",
            "partingline:channels": ["cc1", "vbus"],
            "partingline:scale_v": [CC_SCALE, VBUS_SCALE],
            "partingline:offset_v": [0.0, 0.0],
        },
        "captures": [{"core:sample_start": 0, "core:datetime": "2026-10-02T08:31:07Z"}],
        "annotations": [],
    }
    return json.dumps(meta, indent=2, ensure_ascii=False) + "\n"
