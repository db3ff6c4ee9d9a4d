"""Efficiency of external power supplies: what the test methods compute from the readings."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite

Array = NDArray[np.float64]

LOW_VOLTAGE = "low-voltage"
BASIC = "basic"


@calculation(
    source=cite("us-10cfr430-32", "definitions: below 6 V and at least 550 mA", "S2"),
    units={"output_voltage": "V", "output_current": "A"},
    gives="",
    example=Example({"output_voltage": 5.0, "output_current": 0.5}, BASIC, 0.0, "definition: 0.5 A is below 550 mA"),
)
def voltage_class(*, output_voltage: float, output_current: float) -> str:
    """`low-voltage` or `basic` from the nameplate output; a single output, not arrays."""
    return LOW_VOLTAGE if output_voltage < 6 and output_current >= 0.55 else BASIC


@calculation(
    source=cite("us-10cfr430-appz", "s. 5(a)(1)(vi)(A)", "S"),
    units={"efficiencies": "1"},
    gives="1",
    example=Example(
        {"efficiencies": [0.881, 0.890, 0.886, 0.859]},
        0.879,
        1e-9,
        "arithmetic mean of four points",
        outside=False,
    ),
    no_outside="the method prints no worked number",
)
def average_efficiency(*, efficiencies: ArrayLike) -> Real:
    """The arithmetic mean of the efficiencies at 100, 75, 50 and 25 %, load points along the first axis.

    A point that the unit cannot sustain is NaN and left out, as the method asks. All NaN gives NaN.
    """
    points = np.asarray(efficiencies, dtype=float)
    held = np.isfinite(points)
    count = held.sum(axis=0)
    total = np.where(held, points, 0.0).sum(axis=0)
    return plain(np.where(count > 0, total / np.maximum(count, 1), np.nan))


@calculation(
    source=cite("us-10cfr430-appz", "s. 5(a)(1)(iv)", "S"),
    units={"total_power": "W", "port_powers": "W"},
    gives="1",
    example=Example(
        {"total_power": 100.0, "port_powers": [100.0, 60.0]},
        0.625,
        1e-9,
        "100 W shared by 100 W and 60 W",
        outside=False,
    ),
    no_outside="the method prints no worked number",
)
def port_derating_factor(*, total_power: Real, port_powers: ArrayLike) -> Real:
    """D = P / sum of the ports' ratings, at most 1: every port's test current is multiplied by it."""
    return plain(np.minimum(total_power / np.asarray(port_powers, dtype=float).sum(axis=0), 1.0))


@calculation(
    source=cite("us-10cfr430-appz", "s. 6(a)(1)(iii)(B)", "S"),
    units={},
    gives="A",
    example=Example({}, [2.0, 1.5, 1.0, 0.5], 0.0, "10 CFR 430 subpart B, appendix Z, s. 6(a)(1)(iii)(B)"),
)
def usb_pd_low_voltage_currents() -> Array:
    """The test currents of a USB-PD supply at its lowest voltage, instead of percentages."""
    return np.array([2.0, 1.5, 1.0, 0.5])


@calculation(
    source=cite("us-10cfr430-appz", "s. 6(a)(1)(iii)(B)", "S"),
    units={"lowest_voltage": "V"},
    gives="W",
    example=Example({"lowest_voltage": 5.0}, 10.0, 0.0, "10 W at 5 V in the same clause"),
)
def usb_pd_low_voltage_power(*, lowest_voltage: Real) -> Real:
    """The output power of one port that its limit is computed from at the lowest voltage."""
    return 2.0 * lowest_voltage


@calculation(
    source=cite("iec-62301-2011", "4.4.1: maximum current ratio", "S2"),
    units={"crest_factor": "1", "power_factor": "1"},
    gives="1",
    example=Example({"crest_factor": 3.0, "power_factor": 0.5}, 6.0, 0.0, "definition", outside=False),
    no_outside="a definition",
)
def maximum_current_ratio(*, crest_factor: Real, power_factor: Real) -> Real:
    """Crest factor over power factor."""
    return crest_factor / power_factor


@calculation(
    source=cite("iec-62301-2011", "4.4.1", "M"),
    units={"power": "W", "crest_factor": "1", "power_factor": "1"},
    gives="W",
    example=Example(
        {"power": 1.5, "crest_factor": 6.0, "power_factor": 0.25},
        0.0636,
        1e-3,
        "formula from memory",
        outside=False,
    ),
    no_outside="numbers from memory; no worked example was found",
)
def permitted_uncertainty_2011(*, power: Real, crest_factor: Real, power_factor: Real) -> Real:
    """The expanded uncertainty (95 %) that edition 2 permits at a power."""
    ratio = np.asarray(crest_factor, dtype=float) / power_factor
    relative = 0.02 * (1 + 0.08 * np.maximum(ratio - 10, 0.0))
    low = np.maximum(0.02, np.where(ratio > 10, relative * power, 0.0))
    return plain(np.where(np.asarray(power) >= 1.0, relative * power, low))


@calculation(
    source=cite("iec-62301-2005", "4.5, as quoted in an energy programme", "S2"),
    units={"power": "W"},
    gives="W",
    example=Example({"power": 0.3}, 0.01, 0.0, "0.01 W below 0.5 W, as quoted in an energy programme"),
)
def permitted_uncertainty_2005(*, power: Real) -> Real:
    """The expanded uncertainty (95 %) that edition 1 permits at a power: 2 % from 0.5 W, else 0.01 W."""
    return plain(np.where(np.asarray(power) >= 0.5, 0.02 * np.asarray(power), 0.01))


@calculation(
    source=cite("algebra", "output over input", "C"),
    units={"output_power": "W", "input_power": "W"},
    gives="1",
    example=Example({"output_power": 65.0, "input_power": 72.22}, 0.9, 1e-3, "definition", outside=False),
    no_outside="a definition",
)
def efficiency(*, output_power: Real, input_power: Real) -> Real:
    """Output power over input power."""
    return output_power / input_power


@calculation(
    source=cite("algebra", "input less output", "C"),
    units={"output_power": "W", "input_power": "W"},
    gives="W",
    example=Example({"output_power": 65.0, "input_power": 72.22}, 7.22, 1e-9, "definition", outside=False),
    no_outside="a definition",
)
def loss(*, output_power: Real, input_power: Real) -> Real:
    """The power that stays in the unit as heat."""
    return input_power - output_power
