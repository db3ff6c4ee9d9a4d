"""From the switch's turn-off to the secondary current: drain rise, leakage commutation, clamp."""

from typing import NamedTuple

import numpy as np

from partingline.calc.declare import Real
from partingline.calc.numbers import Array
from partingline.calc.powerstage.clamp import clamp_height
from partingline.calc.powerstage.stage import Flyback


class TurnOff(NamedTuple):
    """The turn-off of one cycle, as arrays.

    `start` is the magnetising current at the end of the drain's rise, which takes `rise_time`. Then the current moves
    to the secondary within `commutation_time` and the magnetising current is `settled`; `commuted_square` is the
    integral of the secondary current's square meanwhile, seen from the primary. `clamp_level` is the clamp above the
    bulk, `over` what it stands above the reflected voltage at the drain, `clamp_charge` what it takes a cycle,
    `ring_current` the amplitude of the leakage ring that is left, `damped_energy` what the damping takes while the
    clamp conducts, `refilled_energy` what an empty clamp takes before, `drain_peak` above ground.
    """

    rise_time: Array
    start: Array
    commutation_time: Array
    settled: Array
    commuted_square: Array
    clamp_level: Array
    over: Array
    clamp_charge: Array
    ring_current: Array
    damped_energy: Array
    refilled_energy: Array
    drain_peak: Array


def rise(stage: Flyback, bulk: Array, reflected: Array, peak: Array) -> tuple[Array, Array, Array]:
    """The resonant rise of the drain from 0 to bulk + reflected voltage: its time, the current at its end, its top.

    NaN where the energy does not reach the reflected voltage.
    """
    inductance, capacitance = stage.primary_inductance, stage.drain_capacitance
    impedance = np.sqrt(inductance / capacitance)
    with np.errstate(invalid="ignore"):
        start = np.sqrt(peak**2 + (bulk**2 - reflected**2) / impedance**2)
        push, pull = peak * impedance, start * impedance
        turn = np.arctan2(reflected * push + bulk * pull, push * pull - reflected * bulk)
    return turn * np.sqrt(inductance * capacitance), start, np.hypot(peak, bulk / impedance)


def commute(stage: Flyback, bulk: Array, reflected: Array, start: Array, period: Array) -> TurnOff:
    """The leakage inductance gives its current to clamp and secondary.

    The reflected voltage at the drain counts the secondary loop's resistance at half of the current. The steady state
    of a resistor and capacitor clamp is a quadratic in its height above the reflected voltage. Where the leakage
    energy does not reach the clamp, the drain rings over freely.
    """
    leakage, capacitance = stage.leakage_inductance, stage.drain_capacitance
    held = reflected + 0.5 * stage.loop_resistance * start
    over, start, refilled = clamp_height(stage, held, start, period)
    wave = np.sqrt(leakage / capacitance)
    crest = start * wave * _overshoot(stage.leakage_damping / wave)
    clamped = crest > over
    at_clamp = np.sqrt(np.where(clamped, np.maximum(start**2 - (over / wave) ** 2, 0.0), 0.0))
    into_clamp = np.maximum(at_clamp - over / stage.leakage_damping, 0.0)
    lift = np.where(clamped, 2 * capacitance * over / (start + at_clamp), 0.5 * np.pi * np.sqrt(leakage * capacitance))
    fall = leakage * at_clamp / over
    whole = lift + fall
    settled = start - held / stage.magnetising_inductance * whole
    gained = np.maximum(np.minimum(start - at_clamp, settled), 0.0)
    square = lift * gained**2 / 5 + fall * (gained**2 + gained * settled + settled**2) / 3
    charge = into_clamp**2 * leakage / (2 * over)
    level = over + held - stage.clamp_diode_drop
    ripple = np.where(np.isfinite(stage.clamp_voltage), 0.0, charge / (2 * stage.clamp_capacitance))
    return TurnOff(
        rise_time=np.zeros_like(start),
        start=start,
        commutation_time=whole,
        settled=settled,
        commuted_square=square,
        clamp_level=np.where(clamped, level, np.nan),
        over=over,
        clamp_charge=charge,
        ring_current=np.where(clamped, over / wave, start),
        damped_energy=over * (0.5 * fall * at_clamp - charge),
        refilled_energy=refilled,
        drain_peak=bulk + np.where(clamped, level + stage.clamp_diode_drop + ripple, held + crest),
    )


def _overshoot(quality: Real) -> Real:
    """The first crest of a ring damped in parallel, of an undamped crest."""
    q = np.minimum(np.asarray(quality, dtype=float), 1e9)
    crest: Real = np.exp(-np.arctan(2 * q) / (2 * q))
    return crest
