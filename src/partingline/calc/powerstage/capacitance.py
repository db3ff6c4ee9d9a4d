"""A capacitance that hangs on its voltage: a switch's output capacitance as its data sheet draws it."""

import numpy as np
from numpy.typing import ArrayLike

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import Array, plain
from partingline.sources import cite

_CURVE = {"voltages": [0.0, 50.0, 400.0], "capacitances": [800e-12, 60e-12, 40e-12]}


def _at(voltages: ArrayLike, capacitances: ArrayLike, voltage: Real, which: int) -> Real:
    """Charge (1) or energy (2) from 0 to a voltage, exactly: ln C is straight between the points, flat outside them.

    ValueError for a curve that cannot be read.
    """
    v, c = np.asarray(voltages, dtype=float), np.asarray(capacitances, dtype=float)
    if v.shape != c.shape or v.size < 2 or np.any(np.diff(v) <= 0) or np.any(c <= 0):
        raise ValueError("a capacitance curve needs two or more points, voltages rising, capacitances above zero")
    if v[0] > 0:
        v, c = np.concatenate(([0.0], v)), np.concatenate((c[:1], c))
    slopes = np.append(np.diff(np.log(c)) / np.diff(v), 0.0)
    whole = _segment(v[:-1], c[:-1], slopes[:-1], np.diff(v))[which - 1]
    before = np.concatenate(([0.0], np.cumsum(whole)))
    at = np.asarray(voltage, dtype=float)
    index = np.clip(np.searchsorted(v, at, side="right") - 1, 0, v.size - 1)
    inside = _segment(v[index], c[index], slopes[index], at - v[index])[which - 1]
    return plain(before[index] + inside)


def _segment(start: Array, capacitance: Array, slope: Array, width: Array) -> tuple[Array, Array]:
    """Charge and energy of one stretch of the curve in which C = C0 exp(slope t); a series where it is nearly flat."""
    x = slope * width
    flat = np.abs(x) < 1e-3
    safe, s = np.where(flat, 1.0, x), np.where(flat, 1.0, slope)
    mean = np.where(flat, 1 + x / 2 + x**2 / 6 + x**3 / 24, np.expm1(safe) / safe)
    charge = capacitance * width * mean
    moment = np.where(
        flat,
        width**2 * (0.5 + x / 3 + x**2 / 8 + x**3 / 30),
        width * np.exp(safe) / s - np.expm1(safe) / s**2,
    )
    return charge, start * charge + capacitance * moment


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
