"""The cycle that carries a load: the peak current is the unknown, and few evaluations of the cycle find it."""

from dataclasses import fields, replace

import numpy as np
from numpy.typing import NDArray

from partingline.calc.declare import Real
from partingline.calc.numbers import Array
from partingline.calc.powerstage.cycle import (
    Cycle,
    Flow,
    Point,
    continuous_flow,
    described,
    timed_flow,
    valley_flow,
)
from partingline.calc.powerstage.modes import BELOW_FLOOR, CONTINUOUS, DISCONTINUOUS, NOT_FOUND, SUBHARMONIC, VALLEY
from partingline.calc.powerstage.stage import Flyback, flat

ROUNDS = 8
CLOSE = 2e-5
"""How near the load must be met, relative; what is farther off is told as not found."""


def in_valley(
    stage: Flyback,
    *,
    bulk_voltage: Real,
    output_voltage: Real,
    output_current: Real,
    valley: Real = 1,
    rounds: int = ROUNDS,
) -> Cycle:
    """The cycle that turns on in the k-th valley and carries the load.

    NaN with reason BELOW_FLOOR where the load is below what this valley moves at no peak current.
    """
    shape, flat_stage, at, (turns,) = _laid_out(stage, bulk_voltage, output_voltage, output_current, valley)
    with np.errstate(all="ignore"):
        peak, tilt = _first_peak(flat_stage, at, turns)
        flow = valley_flow(flat_stage, at, peak, turns)
        before: tuple[Array, Array] | None = None
        for _ in range(rounds):
            miss = np.log(at.load / flow.load(flat_stage))
            step, before = _step(miss, np.log(peak), before, tilt)
            peak = peak * np.exp(step)
            flow = valley_flow(flat_stage, at, peak, turns)
        reason = _reason(flow.load(flat_stage), at.load, BELOW_FLOOR)
    return _shown(flat_stage, at, flow, VALLEY, reason, shape)


def at_frequency(
    stage: Flyback,
    *,
    bulk_voltage: Real,
    output_voltage: Real,
    output_current: Real,
    frequency: Real,
    slope_compensated: bool = False,
    rounds: int = ROUNDS,
) -> Cycle:
    """The cycle at a frequency that carries the load: discontinuous where the current ends in time, else continuous.

    NaN with reason SUBHARMONIC where continuous mode would need a duty above one half and no slope is added.
    """
    shape, flat_stage, at, (f,) = _laid_out(stage, bulk_voltage, output_voltage, output_current, frequency)
    with np.errstate(all="ignore"):
        ends = _solve_timed(flat_stage, at, f, rounds)
        flows = _solve_continuous(flat_stage, at, f, rounds)
        is_continuous = ~(ends.ring_time >= 0) | ~np.isfinite(ends.period)
        unmet = _reason(ends.load(flat_stage), at.load, NOT_FOUND)
        low = described(flat_stage, at, ends, _full(f, DISCONTINUOUS), unmet)
        met = _reason(flows.load(flat_stage), at.load, NOT_FOUND)
        met = np.where(np.abs(flows.period * f - 1) < CLOSE, met, NOT_FOUND)
        duty = flows.on.time * f
        met = np.where((met == 0) & (duty > 0.5) & (not slope_compensated), SUBHARMONIC, met)
        high = described(flat_stage, at, flows, _full(f, CONTINUOUS), met.astype(float))
    return _blanked(_chosen(is_continuous, high, low), shape)


def at_peak(
    stage: Flyback,
    *,
    bulk_voltage: Real,
    output_voltage: Real,
    output_current: Real,
    peak_current: Real,
    rounds: int = 5,
) -> Cycle:
    """The mean cycle of frequency foldback or burst: a given peak current, the frequency follows the load.

    NaN with reason NOT_FOUND where cycles in a row carry less than the load.
    """
    shape, flat_stage, at, (peak,) = _laid_out(stage, bulk_voltage, output_voltage, output_current, peak_current)
    with np.errstate(all="ignore"):
        power = at.load * (at.output + flat_stage.rectifier_drop)
        f = 2 * power / (flat_stage.magnetising_inductance * peak**2)
        flow = timed_flow(flat_stage, at, peak, f, 0.3 / f)
        for _ in range(rounds):
            f = f * at.load / flow.load(flat_stage)
            flow = timed_flow(flat_stage, at, peak, f, np.maximum(flow.ring_time, 0.0))
        reason = _reason(flow.load(flat_stage), at.load, NOT_FOUND)
        reason = np.where(flow.ring_time >= 0, reason, float(NOT_FOUND))
    return _shown(flat_stage, at, flow, DISCONTINUOUS, reason, shape)


def _laid_out(
    stage: Flyback, bulk: Real, output: Real, load: Real, *others: Real
) -> tuple[tuple[int, ...], Flyback, Point, list[Array]]:
    arrays = [getattr(stage, f.name) for f in fields(stage)]
    shape = np.broadcast_shapes(*(np.shape(a) for a in (bulk, output, load, *others, *arrays)))
    flat_bulk, flat_output, flat_load, *rest = flat(shape, bulk, output, load, *others)
    return shape, stage.broadcast(shape), Point(flat_bulk, flat_output, flat_load), rest


def _first_peak(stage: Flyback, at: Point, turns: Array) -> tuple[Array, Array]:
    """The lossless peak current in the valley, and how steeply the load hangs on it."""
    reflected = at.reflected(stage)
    inductance = stage.magnetising_inductance
    half_ring = np.pi * np.sqrt(stage.primary_inductance * stage.drain_capacitance)
    wait = (2 * turns - 1) * half_ring
    power = at.load * (at.output + stage.rectifier_drop)
    slopes = 1 / at.bulk + 1 / reflected
    b = power * slopes
    peak = b + np.sqrt(b * b + 2 * power * wait / inductance)
    return np.asarray(peak), np.asarray(1 + wait / (wait + inductance * peak * slopes))


def _step(
    miss: Array, place: Array, before: tuple[Array, Array] | None, tilt: Array
) -> tuple[Array, tuple[Array, Array]]:
    """The next step in the logarithm of the peak: by the lossless slope at first, then by secant."""
    step = miss / tilt
    if before is not None:
        old_place, old_miss = before
        moved, changed = place - old_place, old_miss - miss
        secant = miss * moved / np.where(changed == 0, 1.0, changed)
        step = np.where((np.abs(changed) > 1e-13) & (np.abs(secant) < 1.5), secant, step)
    step = np.where(np.isfinite(step), step, 0.4)
    return np.clip(step, -1.5, 1.5), (place, miss)


def _solve_timed(stage: Flyback, at: Point, f: Array, rounds: int) -> Flow:
    power = at.load * (at.output + stage.rectifier_drop)
    peak = np.sqrt(2 * power / (stage.magnetising_inductance * f))
    wait = np.maximum(1 / f - stage.magnetising_inductance * peak * (1 / at.bulk + 1 / at.reflected(stage)), 0.0)
    flow = timed_flow(stage, at, peak, f, wait)
    before: tuple[Array, Array] | None = None
    for _ in range(rounds):
        miss = np.log(at.load / flow.load(stage))
        step, before = _step(miss, np.log(peak), before, np.full_like(peak, 2.0))
        peak = peak * np.exp(step)
        flow = timed_flow(stage, at, peak, f, np.maximum(flow.ring_time, 0.0))
    return flow


def _solve_continuous(stage: Flyback, at: Point, f: Array, rounds: int) -> Flow:
    """Newton in the two currents, with the slopes of the lossless cycle."""
    reflected = at.reflected(stage)
    inductance, ratio = stage.magnetising_inductance, stage.turns_ratio
    slopes = 1 / at.bulk + 1 / reflected
    share = at.bulk / (at.bulk + reflected)
    mean = at.load / (ratio * share)
    half = 0.5 / (inductance * f * slopes)
    peak, valley = mean + half, np.maximum(mean - half, 0.0)
    flow = continuous_flow(stage, at, peak, valley)
    for _ in range(2 * rounds):
        late = (1 / f - flow.period) / (inductance * slopes)
        lacking = (at.load * flow.period - flow.load(stage) * flow.period) / (ratio * share * flow.period)
        peak, valley = peak + lacking + 0.5 * late, np.maximum(valley + lacking - 0.5 * late, 0.0)
        flow = continuous_flow(stage, at, peak, valley)
    return flow


def _reason(got: Array, wanted: Array, why: int) -> Array:
    return np.where(np.abs(got / wanted - 1) < CLOSE, 0.0, float(why))


def _full(like: Array, mode: int) -> Array:
    return np.full_like(like, float(mode))


def _shown(stage: Flyback, at: Point, flow: Flow, mode: int, reason: Array, shape: tuple[int, ...]) -> Cycle:
    with np.errstate(all="ignore"):
        return _blanked(described(stage, at, flow, _full(at.bulk, mode), reason), shape)


def _blanked(cycle: Cycle, shape: tuple[int, ...]) -> Cycle:
    """The cycle in its shape, with NaN and mode 0 wherever there is a reason for it."""
    bad = np.asarray(cycle.reason) != 0
    blank = {f.name: np.nan for f in fields(cycle)} | {"mode": 0.0}
    values = {f.name: getattr(cycle, f.name) for f in fields(cycle)}
    kept = {n: v if n == "reason" else np.where(bad, blank[n], v) for n, v in values.items()}
    return replace(cycle, **{n: np.reshape(np.broadcast_to(v, bad.shape), shape)[()] for n, v in kept.items()})


def _chosen(first: NDArray[np.bool_], one: Cycle, other: Cycle) -> Cycle:
    return Cycle(**{f.name: np.where(first, getattr(one, f.name), getattr(other, f.name)) for f in fields(one)})
