"""The time march of a bridge rectifier behind a resistance."""

import numpy as np

from partingline.calc.numbers import Array

STEPS = 800
HALF_CYCLES = 4


def march(
    p: Array, c: Array, v_rms: Array, f: Array, r: Array, drop: Array, start: Array
) -> dict[str, Array]:
    """The fields of a `RectifierCycle` from arrays of shape (n,); `start` is the bulk voltage at the crest.

    In each step the source voltage is frozen at its middle, where v moves exponentially towards e - R P/v
    while the bridge conducts and v² falls linearly while it does not. NaN where the capacitor runs empty.
    """
    h = 1 / (2 * f * STEPS)
    decay = np.exp(-h / (r * c))
    v = np.array(start)
    w = 2 * np.pi * f
    for half_cycle in range(HALF_CYCLES):
        sums = _Sums(v) if half_cycle == HALF_CYCLES - 1 else None
        for step in range(STEPS):
            angle = np.pi / 2 + np.pi * (step + 0.5) / STEPS
            e = np.sqrt(2) * v_rms * abs(np.sin(angle)) - drop
            free = np.sqrt(np.maximum(v**2 - 2 * p * h / c, 0.0))
            conducts = e > 0.5 * (v + free)
            target = e - r * p / np.where(free > 0, free, np.nan)
            after = np.where(conducts, target + (v - target) * decay, free)
            if sums is not None:
                current = np.where(conducts, np.maximum(c * (after - v) / h + 2 * p / (v + after), 0.0), 0.0)
                sums.add(angle % np.pi, after, current, p)
            v = after
    assert sums is not None
    return sums.fields(p, v_rms, r, drop, w)


class _Sums:
    """What is collected over the last half cycle."""

    def __init__(self, v: Array) -> None:
        self.valley, self.top, self.last = v.copy(), v.copy(), v
        self.peak, self.charge, self.square = np.zeros_like(v), np.zeros_like(v), np.zeros_like(v)
        self.capacitor, self.first, self.end = np.zeros_like(v), np.full_like(v, np.pi), np.zeros_like(v)

    def add(self, angle: float, v: Array, current: Array, p: Array) -> None:
        """One step that ends at bulk voltage `v`, with its mean bridge current."""
        drawn = 2 * p / (self.last + v)
        self.valley, self.top = np.minimum(self.valley, v), np.maximum(self.top, v)
        self.peak = np.maximum(self.peak, current)
        self.charge += current
        self.square += current**2
        self.capacitor += (current - drawn) ** 2
        half_step = np.pi / STEPS / 2
        self.first = np.where(current > 0, np.minimum(self.first, angle - half_step), self.first)
        self.end = np.where(current > 0, np.maximum(self.end, angle + half_step), self.end)
        self.last = v

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
