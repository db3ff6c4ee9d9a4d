"""What the controller makes of a load: first valley, later valleys, a frequency clamp, continuous mode, foldback."""

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from partingline.calc.declare import Real
from partingline.calc.flyback import quasi_resonant_cycle
from partingline.calc.numbers import Array
from partingline.calc.powerstage.cycle import Cycle
from partingline.calc.powerstage.modes import BELOW_FLOOR
from partingline.calc.powerstage.operating_point import ROUNDS, at_frequency, at_peak, in_valley, merged
from partingline.calc.powerstage.stage import Flyback, flat

PLAINLY = 1.3
"""The lossless cycle is within 6 % in frequency and peak: what is this far beyond a limit needs no closer look."""
Mask = NDArray[np.bool_]
Solve = Callable[..., Cycle]


@dataclass(frozen=True, slots=True)
class Controller:
    """How a flyback is run. Frequencies in Hz, currents in A.

    Above `highest_frequency` it turns on in a later valley, up to `last_valley`, and after that on the clock; where
    `last_valley` is 1 the clock takes over at once. Below `lowest_frequency` it runs on the clock, continuously where
    it must. No cycle has less than `lowest_peak` (a float or an array over the points): below that the frequency
    folds back (or packets of cycles burst). `fixed_frequency` replaces all of this by a clock.
    """

    highest_frequency: float = np.inf
    lowest_frequency: float = 0.0
    lowest_peak: Real = 0.0
    last_valley: int = 1
    fixed_frequency: float = np.nan
    slope_compensated: bool = False


def run(
    stage: Flyback,
    controller: Controller,
    *,
    bulk_voltage: Real,
    output_voltage: Real,
    output_current: Real,
    rounds: int = ROUNDS,
) -> Cycle:
    """The cycle that the controller settles on at each point; NaN with a reason where there is none."""
    arrays = [getattr(stage, f.name) for f in fields(stage)]
    shape = np.broadcast_shapes(*(np.shape(one) for one in (bulk_voltage, output_voltage, output_current, *arrays)))
    spread = stage.broadcast(shape)
    v, vo, io, lowest = flat(shape, bulk_voltage, output_voltage, output_current, controller.lowest_peak)
    at = {"bulk_voltage": v, "output_voltage": vo, "output_current": io}
    if np.isfinite(controller.fixed_frequency):
        cycle = _clock(controller, controller.fixed_frequency, rounds)(spread, **at)
        light = np.zeros(v.shape, dtype=bool)
    else:
        fast, light = _plainly(spread, controller, lowest, **at)
        cycle = _free(spread, controller, at, rounds, fast, light)
    if np.any(lowest > 0):
        light = light | (np.asarray(cycle.peak_current) < lowest)
        light = light | (np.isnan(cycle.frequency) & (np.asarray(cycle.reason) == BELOW_FLOOR))
        cycle = _redone(cycle, light, spread, at | {"peak_current": lowest}, at_peak)
    return replace(cycle, **{f.name: np.reshape(getattr(cycle, f.name), shape)[()] for f in fields(cycle)})


def _plainly(
    stage: Flyback,
    controller: Controller,
    lowest_peak: Array,
    bulk_voltage: Array,
    output_voltage: Array,
    output_current: Array,
) -> tuple[Mask, Mask]:
    """Where the lossless cycle lies so far above the highest frequency, or below the lowest peak, that it is plain."""
    rough = quasi_resonant_cycle(
        bulk_voltage=bulk_voltage, output_voltage=output_voltage, output_current=output_current,
        turns_ratio=stage.turns_ratio, magnetising_inductance=stage.magnetising_inductance,
        drain_capacitance=stage.drain_capacitance, rectifier_drop=stage.rectifier_drop,
    )  # fmt: skip
    with np.errstate(invalid="ignore"):
        fast = np.asarray(rough.frequency > PLAINLY * controller.highest_frequency) & (controller.last_valley == 1)
        power = output_current * (output_voltage + stage.rectifier_drop)
        peak = np.sqrt(2 * power / (stage.magnetising_inductance * controller.highest_frequency))
        light = np.asarray(np.where(fast, peak, rough.peak_current) * PLAINLY < lowest_peak)
    return fast, light


def _free(stage: Flyback, controller: Controller, at: dict[str, Array], rounds: int, fast: Mask, light: Mask) -> Cycle:
    """Valley switching within the frequency limits; what is plainly fast or light is left to the clock or foldback."""
    blank = {f.name: np.full(fast.shape, np.nan) for f in fields(Cycle)}
    blank |= {"mode": np.zeros(fast.shape), "reason": np.full(fast.shape, float(BELOW_FLOOR))}
    # Where a later valley or the clock takes over, what lies above the limit is solved anew.
    solve = partial(in_valley, rounds=rounds, highest_frequency=controller.highest_frequency)
    cycle = _redone(Cycle(**blank), ~(fast | light), stage, at, solve)
    for valley in range(2, controller.last_valley + 1):
        above = ~(np.asarray(cycle.frequency) <= controller.highest_frequency) & ~light
        cycle = _redone(cycle, above, stage, at, partial(solve, valley=valley))
    limits = ((controller.highest_frequency, True), (controller.lowest_frequency, False))
    for limit, upper in limits:
        if not 0 < limit < np.inf:
            continue
        f = np.asarray(cycle.frequency)
        beyond = ~(f <= limit) if upper else f < limit
        cycle = _redone(cycle, beyond & ~light, stage, at, _clock(controller, limit, rounds))
    return cycle


def _clock(controller: Controller, frequency: float, rounds: int) -> Solve:
    compensated = controller.slope_compensated
    return partial(at_frequency, frequency=frequency, slope_compensated=compensated, rounds=rounds)


def _redone(cycle: Cycle, where: Mask, stage: Flyback, at: dict[str, Array], solve: Solve) -> Cycle:
    """The cycle with the points of a mask solved anew."""
    if not where.any():
        return cycle
    if where.all():
        return solve(stage, **at)
    part = solve(stage.taken(where), **{name: values[where] for name, values in at.items()})
    return merged(cycle, part, where)
