"""A capacitance that hangs on its voltage: a switch's output capacitance as its data sheet draws it."""

import numpy as np
from numpy.typing import ArrayLike

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import Array, plain
from partingline.sources import cite

STEPS = 400
_CURVE = {"voltages": [0.0, 50.0, 400.0], "capacitances": [800e-12, 60e-12, 40e-12]}


def _integrals(voltages: ArrayLike, capacitances: ArrayLike, top: float) -> tuple[Array, Array, Array]:
    """Voltage, charge and energy on a fine grid from 0 to `top`; ValueError for a curve that cannot be read."""
    v, c = np.asarray(voltages, dtype=float), np.asarray(capacitances, dtype=float)
    if v.shape != c.shape or v.size < 2 or np.any(np.diff(v) <= 0) or np.any(c <= 0):
        raise ValueError("a capacitance curve needs two or more points, voltages rising, capacitances above zero")
    grid = np.union1d(np.linspace(0.0, 1.0, STEPS) ** 2 * top, v[v < top])
    curve = np.exp(np.interp(grid, v, np.log(c)))
    steps, middle = np.diff(grid), 0.5 * (curve[1:] + curve[:-1])
    charge = np.concatenate(([0.0], np.cumsum(middle * steps)))
    energy = np.concatenate(([0.0], np.cumsum(middle * steps * 0.5 * (grid[1:] + grid[:-1]))))
    return grid, charge, energy


def _at(voltages: ArrayLike, capacitances: ArrayLike, voltage: Real, which: int) -> Real:
    top = max(float(np.max(voltage)), 1e-6)
    tables = _integrals(voltages, capacitances, top)
    return plain(np.interp(voltage, tables[0], tables[which]))


@calculation(
    source=cite("algebra", "energy of C(V): the integral of C V dV", "C"),
    units={"voltages": "V", "capacitances": "F", "voltage": "V"},
    gives="J",
    example=Example(
        {"voltages": [0.0, 400.0], "capacitances": [100e-12, 100e-12], "voltage": 400.0},
        8e-6, 1e-4, "a constant 100 pF at 400 V", outside=False,
    ),
    no_outside="an integral; a constant capacitance must give C V² / 2",
)  # fmt: skip
def stored_in_curve(*, voltages: ArrayLike, capacitances: ArrayLike, voltage: Real) -> Real:
    """The energy in a capacitance given as a curve over voltage, its logarithm straight between the points."""
    return _at(voltages, capacitances, voltage, 2)


@calculation(
    source=cite("algebra", "2 E / V²: the linear capacitance that stores as much", "C"),
    units={"voltages": "V", "capacitances": "F", "voltage": "V"},
    gives="F",
    example=Example({**_CURVE, "voltage": 400.0}, 48.7e-12, 0.01, "a steep curve, numerically", outside=False),
    no_outside="a definition; held against numerical integration",
)
def energy_equivalent(*, voltages: ArrayLike, capacitances: ArrayLike, voltage: Real) -> Real:
    """The capacitance of the turn-on loss: what the switch discharges from a voltage, as a linear capacitor."""
    return 2 * _at(voltages, capacitances, voltage, 2) / voltage**2


@calculation(
    source=cite("algebra", "Q / V: the linear capacitance that takes as much charge", "C"),
    units={"voltages": "V", "capacitances": "F", "voltage": "V"},
    gives="F",
    example=Example({**_CURVE, "voltage": 400.0}, 78.9e-12, 0.01, "a steep curve, numerically", outside=False),
    no_outside="a definition; held against numerical integration",
)
def charge_equivalent(*, voltages: ArrayLike, capacitances: ArrayLike, voltage: Real) -> Real:
    """The capacitance of the timing: charged by a current to a voltage in the same time."""
    return _at(voltages, capacitances, voltage, 1) / voltage
