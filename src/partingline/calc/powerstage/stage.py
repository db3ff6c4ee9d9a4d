"""The converter as the switching cycle sees it: what the parts are, in SI units."""

from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any

import numpy as np

from partingline.calc.declare import Real
from partingline.calc.numbers import Array


@dataclass(frozen=True)
class Flyback:
    """A flyback stage. Every field is a float or an array that broadcasts with the operating points.

    `turns_ratio` is primary over secondary. `switch_resistance` holds switch, sense resistor and bulk path: what the
    current passes in the on time beside the primary winding. `rectifier_drop` is the constant part of the rectifier's
    voltage, `rectifier_resistance` its slope. A finite `clamp_voltage` (V above the bulk) is a zener or transient
    suppressor; NaN asks for the resistor and capacitor clamp with `clamp_resistance` and `clamp_capacitance`.
    `ring_quality` is the Q of the drain ring after demagnetisation; `leakage_damping` the resistance that stands
    across the leakage inductance (Ω), infinite for none.
    """

    turns_ratio: Real
    magnetising_inductance: Real
    leakage_inductance: Real
    drain_capacitance: Real
    switch_resistance: Real = 0.0
    primary_winding_resistance: Real = 0.0
    secondary_winding_resistance: Real = 0.0
    rectifier_resistance: Real = 0.0
    rectifier_drop: Real = 0.0
    output_esr: Real = 0.0
    clamp_resistance: Real = np.inf
    clamp_capacitance: Real = np.inf
    clamp_voltage: Real = np.nan
    clamp_diode_drop: Real = 0.8
    ring_quality: Real = np.inf
    leakage_damping: Real = np.inf

    @cached_property
    def primary_inductance(self) -> Real:
        """Magnetising and leakage inductance."""
        return self.magnetising_inductance + self.leakage_inductance

    @cached_property
    def on_resistance(self) -> Real:
        """What the current passes in the on time."""
        return self.switch_resistance + self.primary_winding_resistance

    @cached_property
    def drain_impedance(self) -> Real:
        """Of the drain's ring with the primary inductance."""
        impedance: Real = np.sqrt(self.primary_inductance / self.drain_capacitance)
        return impedance

    @cached_property
    def leakage_impedance(self) -> Real:
        """Of the drain's ring with the leakage inductance alone."""
        impedance: Real = np.sqrt(self.leakage_inductance / self.drain_capacitance)
        return impedance

    @cached_property
    def loop_resistance(self) -> Real:
        """The secondary loop, seen from the primary."""
        loop = self.secondary_winding_resistance + self.rectifier_resistance + self.output_esr
        return self.turns_ratio**2 * loop

    def with_values(self, **values: Real) -> "Flyback":
        """The same stage with some values replaced."""
        return replace(self, **values)

    def taken(self, pick: Any) -> "Flyback":
        """Each array field indexed by `pick`; fields without axes stay."""
        arrays = {f.name: getattr(self, f.name) for f in fields(self)}
        return Flyback(**{name: value[pick] if np.ndim(value) else value for name, value in arrays.items()})

    def broadcast(self, shape: tuple[int, ...]) -> "Flyback":
        """Each array field spread out to a shape and laid flat; fields without axes stay."""
        arrays = {f.name: getattr(self, f.name) for f in fields(self)}
        if len(shape) == 1 and all(np.shape(v) in ((), shape) for v in arrays.values()):
            return self
        spread = {n: np.broadcast_to(v, shape).ravel() if np.ndim(v) else v for n, v in arrays.items()}
        return Flyback(**spread)


def flat(shape: tuple[int, ...], *values: Real) -> list[Array]:
    """Values spread out to one shape and laid flat."""
    arrays = (np.asarray(value, dtype=float) for value in values)
    return [a if len(shape) == 1 and a.shape == shape else np.broadcast_to(a, shape).ravel() for a in arrays]
