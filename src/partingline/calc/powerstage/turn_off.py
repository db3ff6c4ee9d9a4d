"""From the switch's turn-off to the secondary current: drain rise, leakage commutation, clamp."""

from typing import NamedTuple

import numpy as np

from partingline.calc.declare import Real
from partingline.calc.numbers import Array
from partingline.calc.powerstage.clamp import clamp_height
from partingline.calc.powerstage.stage import Flyback


class Commutation(NamedTuple):
    """How the current moves to the secondary, as arrays: what the load hangs on.

    `start` is the magnetising current at the end of the drain's rise, `settled` at the end of the commutation, whose
    first part `lift` brings the drain to the clamp and whose second, `fall`, runs `at_clamp` A out into it. `held` is
    the reflected voltage at the drain, `over` what the clamp stands above it, `crest` how far the drain would ring over
    without one, `clamp_charge` what the clamp takes a cycle, `refilled_energy` what an empty clamp takes before.
    """

    start: Array
    settled: Array
    lift: Array
    fall: Array
    at_clamp: Array
    held: Array
    over: Array
    crest: Array
    clamp_charge: Array
    refilled_energy: Array

    @property
    def time(self) -> Array:
        """Both parts."""
        return np.asarray(self.lift + self.fall)

    @property
    def charge(self) -> Array:
        """What the secondary takes meanwhile, less what the clamp takes, seen from the primary."""
        return np.asarray(0.5 * (self.start + self.settled) * (self.lift + self.fall) - self.clamp_charge)


class Overshoot(NamedTuple):
    """What a commutation leaves behind, as arrays.

    `commuted_square` is the integral of the secondary current's square meanwhile, seen from the primary. `clamp_level`
    is the clamp above the bulk, NaN where the drain does not reach it, `ring_current` the amplitude of the leakage ring
    that is left, `damped_energy` what the damping takes while the clamp conducts, `drain_peak` above ground.
    """

    commuted_square: Array
    clamp_level: Array
    ring_current: Array
    damped_energy: Array
    drain_peak: Array


def risen_current(stage: Flyback, bulk: Array, reflected: Array, peak: Array) -> Array:
    """The current at the end of the resonant rise of the drain from 0 to bulk + reflected voltage.

    NaN where the energy does not reach the reflected voltage.
    """
    with np.errstate(invalid="ignore"):
        return np.asarray(np.sqrt(peak**2 + (bulk**2 - reflected**2) / stage.drain_impedance**2))


def rise_time(stage: Flyback, bulk: Array, reflected: Array, peak: Array, start: Array) -> Array:
    """How long that rise takes."""
    push, pull = peak * stage.drain_impedance, start * stage.drain_impedance
    turn = np.arctan2(reflected * push + bulk * pull, push * pull - reflected * bulk)
    return np.asarray(turn * stage.drain_impedance * stage.drain_capacitance)


def commute(stage: Flyback, reflected: Array, start: Array, period: Array) -> Commutation:
    """The leakage inductance gives its current to clamp and secondary.

    The reflected voltage at the drain counts the secondary loop's resistance at half of the current. The steady state
    of a resistor and capacitor clamp is a quadratic in its height above the reflected voltage. Where the leakage
    energy does not reach the clamp, the drain rings over freely.
    """
    leakage, wave = stage.leakage_inductance, stage.leakage_impedance
    held = reflected + 0.5 * stage.loop_resistance * start
    over, start, refilled = clamp_height(stage, held, start, period)
    crest = start * wave * _first_crest(stage)
    clamped = crest > over
    at_clamp = np.sqrt(np.where(clamped, np.maximum(start**2 - (over / wave) ** 2, 0.0), 0.0))
    into_clamp = np.maximum(at_clamp - over / stage.leakage_damping, 0.0)
    shelved = 2 * over / (start + at_clamp)
    lift = stage.drain_capacitance * np.where(clamped, shelved, 0.5 * np.pi * wave)
    fall = leakage * at_clamp / over
    return Commutation(
        start=start, settled=start - held / stage.magnetising_inductance * (lift + fall), lift=lift, fall=fall,
        at_clamp=at_clamp, held=held, over=over, crest=crest, clamp_charge=into_clamp**2 * leakage / (2 * over),
        refilled_energy=refilled,
    )  # fmt: skip


def overshoot(stage: Flyback, bulk: Array, off: Commutation) -> Overshoot:
    """Squares, levels and energies of a commutation."""
    clamped = off.crest > off.over
    gained = np.maximum(np.minimum(off.start - off.at_clamp, off.settled), 0.0)
    falling = off.fall * (gained**2 + gained * off.settled + off.settled**2) / 3
    level = off.over + off.held - stage.clamp_diode_drop
    ripple = np.where(np.isfinite(stage.clamp_voltage), 0.0, off.clamp_charge / (2 * stage.clamp_capacitance))
    return Overshoot(
        commuted_square=off.lift * gained**2 / 5 + falling,
        clamp_level=np.where(clamped, level, np.nan),
        ring_current=np.where(clamped, off.over / stage.leakage_impedance, off.start),
        damped_energy=off.over * (0.5 * off.fall * off.at_clamp - off.clamp_charge),
        drain_peak=bulk + np.where(clamped, level + stage.clamp_diode_drop + ripple, off.held + off.crest),
    )


def _first_crest(stage: Flyback) -> Real:
    """The first crest of the leakage ring damped in parallel, of an undamped crest."""
    if np.all(np.isinf(stage.leakage_damping)):
        return 1.0
    q = np.minimum(np.asarray(stage.leakage_damping / stage.leakage_impedance, dtype=float), 1e9)
    crest: Real = np.exp(-np.arctan(2 * q) / (2 * q))
    return crest
