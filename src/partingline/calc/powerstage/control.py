"""What the controller makes of a load: first valley, later valleys, a frequency clamp, continuous mode, foldback."""

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from partingline.calc.declare import Real
from partingline.calc.numbers import Array
from partingline.calc.powerstage.cycle import Cycle
from partingline.calc.powerstage.operating_point import ROUNDS, at_frequency, at_peak, in_valley
from partingline.calc.powerstage.stage import Flyback, flat

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Controller:
    """How a flyback is run. Frequencies in Hz, currents in A.

    Above `highest_frequency` it turns on in a later valley, up to `last_valley`, and after that on the clock; where
    `last_valley` is 1 the clock takes over at once. Below `lowest_frequency` it runs on the clock, continuously where
    it must. No cycle has less than `lowest_peak`: below that the frequency folds back (or packets of cycles burst).
    `fixed_frequency` replaces all of this by a clock.
    """

    highest_frequency: float = np.inf
    lowest_frequency: float = 0.0
    lowest_peak: float = 0.0
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
    v, vo, io = flat(shape, bulk_voltage, output_voltage, output_current)
    at = {"bulk_voltage": v, "output_voltage": vo, "output_current": io}
    clocked = {"slope_compensated": controller.slope_compensated, "rounds": rounds}
    if np.isfinite(controller.fixed_frequency):
        cycle = at_frequency(spread, **at, frequency=controller.fixed_frequency, **clocked)  # type: ignore[arg-type]
    else:
        cycle = _free(spread, controller, at, rounds)
    small = _true(np.asarray(cycle.peak_current) < controller.lowest_peak)
    if controller.lowest_peak > 0:
        small |= _true(np.isnan(cycle.frequency) & (np.asarray(cycle.reason) == 1))
    cycle = _redone(cycle, small, spread, at, lambda s, a: at_peak(s, **a, peak_current=controller.lowest_peak))
    return replace(cycle, **{f.name: np.reshape(getattr(cycle, f.name), shape)[()] for f in fields(cycle)})


def _free(stage: Flyback, controller: Controller, at: dict[str, Array], rounds: int) -> Cycle:
    """Valley switching within the frequency limits."""
    cycle = in_valley(stage, **at, rounds=rounds)
    for valley in range(2, controller.last_valley + 1):
        fast = _true(~(np.asarray(cycle.frequency) <= controller.highest_frequency))
        later = valley
        cycle = _redone(cycle, fast, stage, at, lambda s, a, k=later: in_valley(s, **a, valley=k, rounds=rounds))
    limits = ((controller.highest_frequency, True), (controller.lowest_frequency, False))
    for limit, upper in limits:
        if not 0 < limit < np.inf:
            continue
        f = np.asarray(cycle.frequency)
        beyond = _true(~(f <= limit)) if upper else _true(f < limit)
        cycle = _redone(
            cycle, beyond, stage, at,
            lambda s, a, hz=limit: at_frequency(s, **a, frequency=hz, slope_compensated=controller.slope_compensated, rounds=rounds),
        )  # fmt: skip
    return cycle


def _redone(cycle: Cycle, where: Mask, stage: Flyback, at: dict[str, Array], solve) -> Cycle:  # type: ignore[no-untyped-def]
    """The cycle with the points of a mask solved anew."""
    if not where.any():
        return cycle
    part = solve(stage.taken(where), {name: values[where] for name, values in at.items()})
    merged = {}
    for f in fields(cycle):
        values = np.array(np.broadcast_to(getattr(cycle, f.name), where.shape), dtype=float)
        values[where] = getattr(part, f.name)
        merged[f.name] = values
    return Cycle(**merged)


def _true(values: NDArray[np.bool_]) -> Mask:
    return np.array(values, dtype=bool)
