"""Light load: packets of cycles with pauses between them, and the load below which a valley cannot go."""

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite

AUDIBLE = (200.0, 20e3)
"""Hz: packets that repeat in this band can be heard."""


@calculation(
    source=cite("algebra", "charge that the drain node alone moves in one cycle of no peak current", "C"),
    units={
        "bulk_voltage": "V", "reflected_voltage": "V", "drain_capacitance": "F", "inductance": "H", "valley": "1",
        "turns_ratio": "1",
    },
    gives="A",
    example=Example(
        {
            "bulk_voltage": 325.0, "reflected_voltage": 120.0, "drain_capacitance": 120e-12, "inductance": 353.5e-6,
            "valley": 1, "turns_ratio": 6.0,
        },
        0.157, 0.12, "floor of the reference stage with leakage and clamp: 0.157 A", outside=False,
    ),
    no_outside="derived; the operating point has no solution below it (a property test)",
)  # fmt: skip
def least_load(
    *,
    bulk_voltage: Real,
    reflected_voltage: Real,
    drain_capacitance: Real,
    inductance: Real,
    turns_ratio: Real,
    valley: Real = 1,
) -> Real:
    """The load current that a valley moves without any peak current; 0 where the ring reaches zero volts.

    The drain node alone, rising from zero through the bulk voltage, carries C (V² - VR²) / 2 to the output.
    """
    v, vr = np.asarray(bulk_voltage, dtype=float), np.asarray(reflected_voltage, dtype=float)
    natural = np.sqrt(inductance * np.asarray(drain_capacitance, dtype=float))
    moving = np.sqrt(np.maximum(v**2 - vr**2, 0.0) * drain_capacitance / inductance)
    up = np.pi - np.arccos(np.minimum(vr / v, 1.0))
    period = natural * (up + (2 * np.asarray(valley) - 1) * np.pi) + inductance * moving / vr
    return plain(turns_ratio * 0.5 * moving * (inductance * moving / vr) / period)


@calculation(
    source=cite("algebra", "mean of packets", "C"),
    units={"mean_frequency": "Hz", "cycles": "1"},
    gives="Hz",
    example=Example({"mean_frequency": 8e3, "cycles": 4.0}, 2e3, 0.0, "four cycles a packet", outside=False),
    no_outside="a ratio",
)
def packet_frequency(*, mean_frequency: Real, cycles: Real) -> Real:
    """How often packets of a number of cycles repeat; between 0.2 and 20 kHz they can be heard."""
    return mean_frequency / cycles


@calculation(
    source=cite("algebra", "no-load loss as standing watts and energy a cycle", "C"),
    units={"no_load_power": "W", "energy_per_cycle": "J", "mean_frequency": "Hz"},
    gives="W",
    example=Example(
        {"no_load_power": 0.05, "energy_per_cycle": 20e-6, "mean_frequency": 500.0}, 0.04, 1e-9, "ours", outside=False
    ),
    no_outside="a subtraction",
)
def standing_loss(*, no_load_power: Real, energy_per_cycle: Real, mean_frequency: Real) -> Real:
    """What stays of a measured no-load power without the cycles that keep the output up."""
    return no_load_power - energy_per_cycle * mean_frequency
