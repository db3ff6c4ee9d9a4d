"""The time march of a bridge rectifier behind a resistance."""

import numpy as np

from partingline.calc.numbers import Array

STEPS = 800
HALF_CYCLES = 4


def march(p: Array, c: Array, v_rms: Array, f: Array, r: Array, drop: Array) -> dict[str, Array]:
    """The fields of a `RectifierCycle` from arrays of shape (n,), marched from a full capacitor at the crest.

    Each step solves the circuit with a source that runs straight between its edges and a load current frozen at the
    discharged voltage; while the bridge blocks, v² falls linearly. NaN where the capacitor runs empty.
    """
    h = 1 / (2 * f * STEPS)
    tau = r * c
    decay = np.exp(-h / tau)
    crest = np.sqrt(2) * v_rms
    v = e = crest - drop
    for half_cycle in range(HALF_CYCLES):
        sums = _Sums(v, e) if half_cycle == HALF_CYCLES - 1 else None
        for step in range(STEPS):
            edge = np.pi / 2 + np.pi * (step + 1) / STEPS
            before, e = e, crest * abs(np.sin(edge)) - drop
            free = np.sqrt(np.maximum(v**2 - 2 * p * h / c, 0.0))
            sag = 2 * r * p / np.where(free > 0, v + free, np.nan)
            lag = (e - before) / h * tau
            charged = e - sag - lag + (v - before + sag + lag) * decay
            conducts = before + e > v + free
            after = np.where(conducts, charged, free)
            if sums is not None:
                current = np.where(conducts, np.maximum(c * (after - v) / h + 2 * p / (v + after), 0.0), 0.0)
                sums.add(edge, e, after, current, p)
            v = after
    assert sums is not None
    return sums.fields(p, v_rms, r, drop, 2 * np.pi * f)


class _Sums:
    """What is collected over the last half cycle, which runs from crest to crest."""

    def __init__(self, v: Array, e: Array) -> None:
        self.valley, self.top, self.last, self.gap = v.copy(), v.copy(), v, e - v
        self.peak, self.charge, self.square = np.zeros_like(v), np.zeros_like(v), np.zeros_like(v)
        self.capacitor, self.first, self.end = np.zeros_like(v), np.full_like(v, np.nan), np.full_like(v, np.nan)

    def add(self, edge: float, e: Array, v: Array, current: Array, p: Array) -> None:
        """One step to the angle `edge`, where source and bulk are `e` and `v`, with its mean bridge current."""
        drawn = 2 * p / (self.last + v)
        self.valley, self.top = np.minimum(self.valley, v), np.maximum(self.top, v)
        self.peak = np.maximum(self.peak, current)
        self.charge += current
        self.square += current**2
        self.capacitor += (current - drawn) ** 2
        gap = e - v
        crossing = edge - np.pi / STEPS * np.where(gap == self.gap, 0.0, gap / (gap - self.gap))
        self.end = np.where((self.gap > 0) & (gap <= 0), crossing, self.end)
        self.first = np.where((self.gap <= 0) & (gap > 0), crossing - np.pi, self.first)
        self.last, self.gap = v, gap

    def fields(self, p: Array, v_rms: Array, r: Array, drop: Array, w: Array) -> dict[str, Array]:
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
            "power_factor": (p + drop * mean + r * line**2) / (v_rms * line),
        }
        return {name: np.where(empty, np.nan, values) for name, values in fields.items()}
