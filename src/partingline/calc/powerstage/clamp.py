"""Where the clamp stands: a zener at its voltage, a resistor and capacitor in their steady state."""

import numpy as np

from partingline.calc.numbers import Array
from partingline.calc.powerstage.stage import Flyback


def clamp_height(stage: Flyback, held: Array, start: Array, period: Array) -> tuple[Array, Array, Array]:
    """How far the clamp stands above the reflected voltage `held` at the drain (diode drop included), in V.

    With it the current in A that is left for the commutation, and the energy in J that the clamp took before it. Both
    differ from `start` and 0 only where the clamp's capacitor has run below the reflected voltage since the last cycle:
    the drain then fills it like a part of its own capacitance, and the leakage lifts it from there.
    """
    zener, nothing = np.isfinite(stage.clamp_voltage), np.zeros_like(start)
    given = stage.clamp_voltage + stage.clamp_diode_drop - held if np.any(zener) else np.nan
    if np.all(zener):
        return np.maximum(given, 1e-3), start, nothing
    constant = np.asarray(stage.clamp_resistance * stage.clamp_capacitance, dtype=float)
    half_drained = nothing if np.all(np.isinf(constant)) else np.tanh(period / (2 * constant))
    steady = _steady(stage, held, start, 2 * constant * half_drained if half_drained is not nothing else period)
    over = np.maximum(np.where(zener, given, steady) if np.any(zener) else steady, 1e-3)
    lift = np.sqrt(stage.leakage_inductance / stage.clamp_capacitance)
    empty = ~zener & (over < 0.5 * start * lift)
    if not empty.any():
        return over, start, nothing
    low = held - stage.clamp_diode_drop
    bottom = (low + start * lift) * np.exp(-period / constant)
    taken = np.where(empty, 0.5 * stage.clamp_capacitance * np.maximum(low**2 - bottom**2, 0.0), 0.0)
    with np.errstate(invalid="ignore"):
        left = np.sqrt(start**2 - 2 * taken / stage.primary_inductance)
    return np.where(empty, np.maximum(0.5 * left * lift, over), over), left, taken


def _steady(stage: Flyback, held: Array, start: Array, draining: Array) -> Array:
    """The quadratic of a resistor and capacitor clamp: what the leakage gives a cycle is what the resistor drains.

    `draining` is the time in which the resistor, at the level half way up the ripple, drains what it drains a cycle.
    The damping across the leakage inductance takes its share of the current first.
    """
    pull = stage.clamp_resistance / (2 * draining)
    store = 1 + pull * stage.drain_capacitance
    half = 0.5 * (held - stage.clamp_diode_drop)
    with np.errstate(invalid="ignore"):
        height = (np.sqrt(half**2 + store * pull * stage.leakage_inductance * start**2) - half) / store
        if not np.all(np.isinf(stage.leakage_damping)):
            past = np.maximum(start - height / stage.leakage_damping, 0.0)
            height = (np.sqrt(half**2 + store * pull * stage.leakage_inductance * past**2) - half) / store
    drains = np.isfinite(stage.clamp_resistance)
    if np.all(drains):
        return np.asarray(height)
    # An infinite clamp resistor drains nothing: the capacitor charges until the leakage no longer reaches it.
    return np.where(drains, height, start * stage.leakage_impedance)
