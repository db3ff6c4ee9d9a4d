"""The time march of a bridge rectifier behind a resistance."""

import numpy as np

from partingline.calc.numbers import Array

STEPS = 800
HALF_CYCLES = 4


def march(p: Array, c: Array, v_rms: Array, f: Array, r: Array, drop: Array) -> dict[str, Array]:
    """The fields of a `RectifierCycle` from arrays of shape (n,), marched from a full capacitor at the crest.

    Each step solves the circuit for a source that runs straight between the edges, from the moment where it passes the
    bulk voltage, with the load current frozen. While the bridge blocks, v² falls linearly. NaN where it runs empty.
    """
    h, tau, crest = 1 / (2 * f * STEPS), r * c, np.sqrt(2) * v_rms
    v = e = crest - drop
    for half_cycle in range(HALF_CYCLES):
        sums = _Sums(v, e, r) if half_cycle == HALF_CYCLES - 1 else None
        for step in range(STEPS):
            edge = np.pi / 2 + np.pi * (step + 1) / STEPS
            before, e = e, crest * abs(np.sin(edge)) - drop
            free = np.sqrt(np.maximum(v**2 - 2 * p * h / c, 0.0))
            wait = np.where(before < v, np.minimum((before - v) / (before - v - e + free), 1.0), 0.0)
            sag = 2 * r * p / np.where(free > 0, v + free, np.nan)
            lag = (e - before) / h * tau
            v_on, e_on = v + wait * (free - v), before + wait * (e - before)
            charged = e - sag - lag + (v_on - e_on + sag + lag) * np.exp(-(1 - wait) * h / tau)
            after = np.where((before > v) | (e > free), np.maximum(charged, free), free)
            if sums is not None:
                sums.touch(edge - np.pi - np.pi / STEPS * (1 - wait), v_on, (before <= v) & (e > free))
                sums.add(edge, e, after, np.maximum(c * (after - v) / h + 2 * p / (v + after), 0.0), p)
            v = after
    assert sums is not None
    return sums.fields(p, v_rms, drop, 2 * np.pi * f)


class _Sums:
    """What is collected over the last half cycle, which runs from crest to crest."""

    def __init__(self, v: Array, e: Array, r: Array) -> None:
        self.valley, self.top, self.last, self.gap, self.r = np.full_like(v, np.inf), v, v, e - v, r
        self.peak, self.charge, self.square = np.zeros_like(v), np.zeros_like(v), np.zeros_like(v)
        self.capacitor, self.first, self.end = np.zeros_like(v), np.full_like(v, np.nan), np.full_like(v, np.nan)

    def touch(self, angle: Array, v: Array, turns_on: Array) -> None:
        """The moment in a step where the bridge turns on; without resistance the valley lies there."""
        self.first = np.where(turns_on, angle, self.first)
        self.valley = np.where(turns_on, np.minimum(self.valley, v), self.valley)

    def add(self, edge: float, e: Array, v: Array, current: Array, p: Array) -> None:
        """One step to the angle `edge`, where source and bulk are `e` and `v`, with its mean bridge current."""
        drawn, gap = 2 * p / (self.last + v), e - v
        self.valley, self.top = np.minimum(self.valley, v), np.maximum(self.top, v)
        self.peak = np.maximum(self.peak, gap / self.r)
        self.charge += current
        self.square += current**2
        self.capacitor += (current - drawn) ** 2
        crossing = edge - np.pi / STEPS * np.where(gap == self.gap, 0.0, gap / (gap - self.gap))
        self.end = np.where((self.gap > 0) & (gap <= 0), crossing, self.end)
        self.last, self.gap = v, gap

    def fields(self, p: Array, v_rms: Array, drop: Array, w: Array) -> dict[str, Array]:
        """The fields of a `RectifierCycle`."""
        mean, line = self.charge / STEPS, np.sqrt(self.square / STEPS)
        angle = self.end - self.first
        empty = ~np.isfinite(self.valley) | (self.valley <= 0)
        fields = {
            "valley_voltage": self.valley,
            "top_voltage": self.top,
            "conduction_start": np.degrees(self.first),
            "conduction_end": np.degrees(self.end),
            "conduction_angle": np.degrees(angle),
            "conduction_time": angle / w,
            "line_peak_current": self.peak,
            "line_current": line,
            "bridge_current": mean,
            "diode_current": line / np.sqrt(2),
            "diode_mean_current": mean / 2,
            "capacitor_current": np.sqrt(self.capacitor / STEPS),
            "power_factor": (p + drop * mean + self.r * line**2) / (v_rms * line),
        }
        return {name: np.where(empty, np.nan, values) for name, values in fields.items()}
