"""The bulk voltage over a half line cycle, and means of converter quantities over it."""

from typing import NamedTuple

import numpy as np

from partingline.calc.declare import Real
from partingline.calc.numbers import Array

NEWTON = 5
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(3)


class BulkWave(NamedTuple):
    """The bulk voltage at instants of the half cycle, and what the bridge and the line carry meanwhile.

    `voltages` and `weights` have the instants as their first axis; the weights are shares of time and add up to 1.
    Currents in A: mean of the bridge, RMS of the line and of the capacitor at the mains' frequencies.
    """

    voltages: Array
    weights: Array
    valley: Array
    top: Array
    conduction_share: Array
    bridge_current: Array
    line_current: Array
    capacitor_current: Array


def bulk_wave(
    *, power: Real, capacitance: Real, mains_voltage: Real, mains_frequency: Real, bridge_drop: Real = 0.0
) -> BulkWave:
    """The exact cycle of a bridge without source impedance and a load of constant power, at six instants.

    The turn-off of the bridge lies at v dv/dt = -P/C on the sine; the turn-on where the falling square meets the sine
    again, found by Newton from above, where the distance is convex. Three Gauss points each in the fall and in the
    rise. NaN where the capacitor does not hold the line apart. Checked against `mains.rectifier_cycle`.
    """
    arrays = np.broadcast_arrays(*np.atleast_1d(power, capacitance, mains_voltage, mains_frequency, bridge_drop))
    p, c, v_rms, f, drop = (np.asarray(a, dtype=float) for a in arrays)
    w = 2 * np.pi * f
    crest = np.sqrt(2) * v_rms - drop
    pull = 2 * p / (w * c * crest**2)
    with np.errstate(all="ignore"):
        off = 0.5 * np.arcsin(pull)
        start = _meeting(off, pull)
        length = start - off
        valley, top = crest * -np.cos(start), crest * np.cos(off)
        fall_at = off + length * 0.5 * (1 + _NODES[(...,) + (None,) * p.ndim])
        falling = np.sqrt(top**2 - pull * crest**2 * (fall_at - off))
        width = np.pi - length
        rise_at = start + width * 0.5 * (1 + _NODES[(...,) + (None,) * p.ndim])
        rising = crest * np.abs(np.cos(rise_at))
        weight = 0.5 * _WEIGHTS[(...,) + (None,) * p.ndim] / np.pi
        charging = -w * c * crest * np.sin(rise_at - np.pi)
        bridge = charging + p / rising
        shares = np.concatenate([weight * length, weight * width])
        charged = np.sum(weight * np.pi * width * charging**2, axis=0)
        squares = w * c * p * np.log(top / valley) + charged
        return BulkWave(
            voltages=np.concatenate([falling, rising]), weights=shares, valley=valley, top=crest + 0 * valley,
            conduction_share=width / np.pi, bridge_current=np.sum(weight * width * bridge, axis=0),
            line_current=np.sqrt(np.sum(weight * width * bridge**2, axis=0)),
            capacitor_current=np.sqrt(squares / np.pi),
        )  # fmt: skip


def _meeting(off: Array, pull: Array) -> Array:
    """The angle past the crest, in (π/2, π), where cos² off - pull (angle - off) = cos² angle."""
    level = np.cos(off) ** 2
    empty = off + level / pull
    guess = np.minimum(np.pi - np.sqrt(np.maximum(pull * (np.pi - off), 1e-12)), 0.98 * empty + 0.01 * np.pi)
    angle = np.clip(guess, np.pi / 2 + 0.02, np.pi - 1e-6)
    for _ in range(NEWTON):
        gap = level - pull * (angle - off) - np.cos(angle) ** 2
        slope = -pull + np.sin(2 * angle)
        angle = np.clip(angle - gap / np.where(slope < 0, slope, -1e-3), np.pi / 2 + 1e-6, np.pi - 1e-9)
    meets = np.abs(level - pull * (angle - off) - np.cos(angle) ** 2) < 1e-6
    return np.where(meets & (pull < 1), angle, np.nan)


def averaged(values: Array, weights: Array) -> Array:
    """The mean over the instants, the first axis."""
    return np.asarray(np.sum(values * weights, axis=0))
