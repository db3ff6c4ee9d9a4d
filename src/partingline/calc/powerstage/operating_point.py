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
    delivered,
    described,
    in_valley_of,
    moved,
    timed_flow,
    valley_flow,
)
from partingline.calc.powerstage.modes import BELOW_FLOOR, CONTINUOUS, DISCONTINUOUS, NOT_FOUND, SUBHARMONIC, VALLEY
from partingline.calc.powerstage.stage import Flyback, flat

ROUNDS = 8
ENOUGH = 1e-6
CLOSE = 2e-5
"""How near the load must be met, relative; what is farther off is told as not found."""
SURELY = 3.0
"""The frequency in a valley falls by at most the share that the load rises by; the rest is for what is not linear."""


def in_valley(
    stage: Flyback,
    *,
    bulk_voltage: Real,
    output_voltage: Real,
    output_current: Real,
    valley: Real = 1,
    highest_frequency: float = np.inf,
    rounds: int = ROUNDS,
) -> Cycle:
    """The cycle that turns on in the k-th valley and carries the load.

    NaN with reason BELOW_FLOOR where the load is below what this valley moves at no peak current. The search ends early
    where every point is sure to lie above the highest frequency: NaN as well, as nobody asks for those cycles.
    """
    shape, flat_stage, at, (turns,) = _laid_out(stage, bulk_voltage, output_voltage, output_current, valley)
    with np.errstate(all="ignore"):
        peak, tilt = _first_peak(flat_stage, at, turns)
        ringing = in_valley_of(flat_stage, at, turns)
        flow = valley_flow(flat_stage, at, peak, ringing)
        before: tuple[Array, Array] | None = None
        for _ in range(rounds):
            miss = np.log(at.load / flow.load(flat_stage))
            if _met(miss) or np.all(1 / flow.period > highest_frequency * (1 + SURELY * np.abs(miss))):
                break
            step, before = _step(miss, np.log(peak), before, tilt)
            peak = peak * np.exp(step)
            flow = valley_flow(flat_stage, at, peak, ringing)
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
        cycle = described(
            flat_stage, at, ends, _full(f, DISCONTINUOUS), _reason(ends.load(flat_stage), at.load, NOT_FOUND)
        )
        runs_on = ~(ends.ring_time >= 0)
        if runs_on.any():
            part = Point(at.bulk[runs_on], at.output[runs_on], at.load[runs_on], at.reflected[runs_on])
            found = _continuous(flat_stage.taken(runs_on), part, f[runs_on], slope_compensated, rounds)
            cycle = merged(cycle, found, runs_on)
    return _blanked(cycle, shape)


def merged(cycle: Cycle, part: Cycle, where: NDArray[np.bool_]) -> Cycle:
    """The cycle with the points of a mask replaced."""
    whole = {}
    for f in fields(cycle):
        values = np.array(np.broadcast_to(getattr(cycle, f.name), where.shape), dtype=float)
        values[where] = getattr(part, f.name)
        whole[f.name] = values
    return Cycle(**whole)


def at_peak(
    stage: Flyback,
    *,
    bulk_voltage: Real,
    output_voltage: Real,
    output_current: Real,
    peak_current: Real,
    rounds: int = 12,
) -> Cycle:
    """The mean cycle of frequency foldback or burst: a given peak current, the frequency follows the load.

    NaN with reason NOT_FOUND where cycles in a row carry less than the load.
    """
    shape, flat_stage, at, (peak,) = _laid_out(stage, bulk_voltage, output_voltage, output_current, peak_current)
    with np.errstate(all="ignore"):
        power = at.load * (at.output + flat_stage.rectifier_drop)
        f = 2 * power / (flat_stage.magnetising_inductance * peak**2)
        before: tuple[Array, Array] | None = None
        for _ in range(rounds):
            off, decay = moved(flat_stage, at, peak, 1 / f)
            miss = np.log(at.load / (delivered(flat_stage, off, decay) * f))
            if _met(miss):
                break
            step, before = _step(miss, np.log(f), before, np.ones_like(f))
            f = f * np.exp(step)
        else:
            off, decay = moved(flat_stage, at, peak, 1 / f)
        flow = timed_flow(flat_stage, at, peak, 1 / f, off, decay)
        reason = _reason(flow.load(flat_stage), at.load, NOT_FOUND)
        reason = np.where(flow.ring_time >= 0, reason, float(NOT_FOUND))
    return _shown(flat_stage, at, flow, DISCONTINUOUS, reason, shape)


def _laid_out(
    stage: Flyback, bulk: Real, output: Real, load: Real, *others: Real
) -> tuple[tuple[int, ...], Flyback, Point, list[Array]]:
    arrays = [getattr(stage, f.name) for f in fields(stage)]
    shape = np.broadcast_shapes(*(np.shape(a) for a in (bulk, output, load, *others, *arrays)))
    flat_bulk, flat_output, flat_load, *rest = flat(shape, bulk, output, load, *others)
    spread = stage.broadcast(shape)
    return shape, spread, Point.of(spread, flat_bulk, flat_output, flat_load), rest


def _first_peak(stage: Flyback, at: Point, turns: Array) -> tuple[Array, Array]:
    """The lossless peak current in the valley, and how steeply the load hangs on it."""
    reflected, inductance = at.reflected, stage.magnetising_inductance
    half_ring = np.pi * np.sqrt(stage.primary_inductance * stage.drain_capacitance)
    wait = (2 * turns - 1) * half_ring
    power = at.load * (at.output + stage.rectifier_drop)
    slopes = 1 / at.bulk + 1 / reflected
    b = power * slopes
    peak = b + np.sqrt(b * b + 2 * power * wait / inductance)
    return np.asarray(peak), np.asarray(1 + wait / (wait + inductance * peak * slopes))


def _met(miss: Array) -> bool:
    """Whether every load is met well enough; what is not finite never will be."""
    return not bool(np.any(np.abs(miss) > ENOUGH))


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
    # A point that is met stays where it is, so that no point hangs on the others in its array.
    return np.where(np.abs(miss) > ENOUGH, np.clip(step, -1.5, 1.5), np.where(np.isnan(miss), 0.4, 0.0)), (place, miss)


def _solve_timed(stage: Flyback, at: Point, f: Array, rounds: int) -> Flow:
    """The peak alone sets the load; the ring is met at the end."""
    power = at.load * (at.output + stage.rectifier_drop)
    peak = np.sqrt(2 * power / (stage.magnetising_inductance * f))
    before: tuple[Array, Array] | None = None
    for _ in range(rounds + 1):
        off, decay = moved(stage, at, peak, 1 / f)
        miss = np.log(at.load / (delivered(stage, off, decay) * f))
        if _met(miss):
            break
        step, before = _step(miss, np.log(peak), before, np.full_like(peak, 2.0))
        peak = peak * np.exp(step)
    else:
        off, decay = moved(stage, at, peak, 1 / f)
    return timed_flow(stage, at, peak, 1 / f, off, decay)


def _solve_continuous(stage: Flyback, at: Point, f: Array, rounds: int) -> Flow:
    """Newton in the two currents, with the slopes of the lossless cycle."""
    reflected = at.reflected
    inductance, ratio = stage.magnetising_inductance, stage.turns_ratio
    slopes = 1 / at.bulk + 1 / reflected
    share = at.bulk / (at.bulk + reflected)
    mean = at.load / (ratio * share)
    half = 0.5 / (inductance * f * slopes)
    peak, valley = mean + half, np.maximum(mean - half, 0.0)
    flow = continuous_flow(stage, at, peak, valley)
    for _ in range(2 * rounds):
        off = np.maximum(np.abs(np.log(at.load / flow.load(stage))), np.abs(np.log(flow.period * f)))
        if _met(off):
            break
        moving = ~(off <= ENOUGH)
        late = np.where(moving, (1 / f - flow.period) / (inductance * slopes), 0.0)
        lacking = (at.load * flow.period - flow.load(stage) * flow.period) / (ratio * share * flow.period)
        lacking = np.where(moving, lacking, 0.0)
        peak, valley = peak + lacking + 0.5 * late, np.maximum(valley + lacking - 0.5 * late, 0.0)
        flow = continuous_flow(stage, at, peak, valley)
    return flow


def _continuous(stage: Flyback, at: Point, f: Array, slope_compensated: bool, rounds: int) -> Cycle:
    flow = _solve_continuous(stage, at, f, rounds)
    reason = _reason(flow.load(stage), at.load, NOT_FOUND)
    reason = np.where(np.abs(flow.period * f - 1) < CLOSE, reason, float(NOT_FOUND))
    tips_over = (reason == 0) & (flow.on.time * f > 0.5) & (not slope_compensated)
    return described(stage, at, flow, _full(f, CONTINUOUS), np.where(tips_over, float(SUBHARMONIC), reason))


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
    if bad.shape == shape and not bad.any():
        return cycle
    blank = {f.name: np.nan for f in fields(cycle)} | {"mode": 0.0}
    values = {f.name: getattr(cycle, f.name) for f in fields(cycle)}
    kept = {n: v if n == "reason" else np.where(bad, blank[n], v) for n, v in values.items()}
    return replace(cycle, **{n: np.reshape(np.broadcast_to(v, bad.shape), shape)[()] for n, v in kept.items()})
