"""The lossless cycle of a flyback on a clock: discontinuous where the current ends in time, else continuous."""

from dataclasses import fields

import numpy as np

from partingline.calc.declare import Real
from partingline.calc.flyback import FlybackCycle, continuous_cycle, discontinuous_cycle
from partingline.calc.powerstage.modes import REASONS, SUBHARMONIC
from partingline.facts.derivation import NoNumberError
from partingline.facts.draws import Array


def clocked_cycle(
    *, bulk_voltage: Array, output_voltage: float, output_current: float, turns_ratio: Array,
    magnetising_inductance: Array, rectifier_drop: Array, frequency: float, slope_compensated: bool,
) -> FlybackCycle:  # fmt: skip
    """The cycle at a frequency in Hz. Raises NoNumberError where the duty exceeds one half in continuous mode and no
    slope compensation is told of."""
    at: dict[str, Real] = {
        "bulk_voltage": bulk_voltage, "output_voltage": output_voltage, "output_current": output_current,
        "turns_ratio": turns_ratio, "magnetising_inductance": magnetising_inductance,
        "rectifier_drop": rectifier_drop, "frequency": frequency,
    }  # fmt: skip
    ends, runs_on = discontinuous_cycle(**at), continuous_cycle(**at)
    never = np.isnan(np.asarray(ends.peak_current))
    if never[0] and np.asarray(runs_on.duty)[0] > 0.5 and not slope_compensated:
        raise NoNumberError(REASONS[SUBHARMONIC])
    chosen = {f.name: np.where(never, getattr(runs_on, f.name), getattr(ends, f.name)) for f in fields(FlybackCycle)}
    return FlybackCycle(**chosen)
