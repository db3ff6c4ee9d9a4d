"""The output: regulation, resistance, ripple, capacitor current."""

import numpy as np
from numpy.typing import ArrayLike

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite


@calculation(
    source=cite("common-practice", "no-load less full-load over no-load voltage", "P"),
    units={"no_load_voltage": "V", "full_load_voltage": "V"},
    gives="1",
    example=Example({"no_load_voltage": 20.2, "full_load_voltage": 20.0}, 0.0099, 1e-3, "ratio", outside=False),
    no_outside="a definition of the trade, met in several forms",
)
def load_regulation(*, no_load_voltage: Real, full_load_voltage: Real) -> Real:
    """The share of its no-load voltage that a port loses at full load."""
    return (no_load_voltage - full_load_voltage) / no_load_voltage


@calculation(
    source=cite("algebra", "Ohm's law between two points", "C"),
    units={"light_voltage": "V", "light_current": "A", "heavy_voltage": "V", "heavy_current": "A"},
    gives="Ω",
    example=Example(
        {"light_voltage": 20.2, "light_current": 0.0, "heavy_voltage": 20.05, "heavy_current": 3.0},
        0.05,
        1e-9,
        "ours",
        outside=False,
    ),
    no_outside="Ohm's law",
)
def output_resistance(*, light_voltage: Real, light_current: Real, heavy_voltage: Real, heavy_current: Real) -> Real:
    """The resistance that a port shows between two loads."""
    return (light_voltage - heavy_voltage) / (heavy_current - light_current)


@calculation(
    source=cite("algebra", "mean and alternating part of a current", "C"),
    units={"total_current": "A", "mean_current": "A"},
    gives="A",
    example=Example({"total_current": 5.0, "mean_current": 3.0}, 4.0, 1e-9, "3-4-5", outside=False),
    no_outside="an identity of RMS values; held against sampled waveforms",
)
def alternating_part(*, total_current: Real, mean_current: Real) -> Real:
    """The RMS of what flows into the capacitor where a pulsed current feeds a steady load."""
    square = np.asarray(total_current, dtype=float) ** 2 - np.asarray(mean_current, dtype=float) ** 2
    return plain(np.sqrt(np.maximum(square, 0.0)))


@calculation(
    source=cite("algebra", "sum of squares of independent frequencies", "C"),
    units={"low_frequency": "A", "switching_frequency": "A"},
    gives="A",
    example=Example({"low_frequency": 0.3, "switching_frequency": 0.4}, 0.5, 1e-9, "3-4-5", outside=False),
    no_outside="an identity of RMS values",
)
def ripple_current(*, low_frequency: Real, switching_frequency: Real) -> Real:
    """The RMS of a capacitor current with a mains part and a switching part."""
    return plain(np.hypot(low_frequency, switching_frequency))


@calculation(
    source=cite("algebra", "least squares of voltage over current", "C"),
    units={"voltages": "V", "currents": "A"},
    gives="Ω",
    example=Example(
        {"voltages": [5.0, 5.1, 5.2], "currents": [0.0, 1.0, 2.0]},
        0.1,
        1e-9,
        "100 mV an ampere",
        outside=False,
    ),
    no_outside="least squares; a test holds it against numpy.polyfit",
)
def cable_compensation(*, voltages: ArrayLike, currents: ArrayLike) -> Real:
    """How much the port voltage rises with each ampere, load points along the first axis.

    Above zero the port makes up for the drop in the cable; below zero it is the output resistance. ValueError for fewer
    than three points.
    """
    v, i = np.asarray(voltages, dtype=float), np.asarray(currents, dtype=float)
    if len(v) < 3:
        raise ValueError("a slope needs three load points or more")
    away = i - i.mean(axis=0)
    return plain((away * (v - v.mean(axis=0))).sum(axis=0) / (away**2).sum(axis=0))


@calculation(
    source=cite("common-practice", "output voltage at the highest less that at the lowest mains, over their mean", "P"),
    units={"voltages": "V"},
    gives="1",
    example=Example({"voltages": [20.00, 20.02]}, 0.001, 1e-3, "ratio", outside=False),
    no_outside="a definition of the trade, met in several forms",
)
def line_regulation(*, voltages: ArrayLike) -> Real:
    """How far the port voltage moves with the mains at one load; lowest mains first along the first axis."""
    v = np.asarray(voltages, dtype=float)
    return plain((v[-1] - v[0]) / v.mean(axis=0))
