"""Losses by item, from currents and parts."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite


@calculation(
    source=cite("onsemi-ncp1028", "page 25", "S"),
    units={"resistance": "Ω", "current": "A"},
    gives="W",
    example=Example({"resistance": 11.0, "current": 0.228}, 0.571, 0.003, "ON Semiconductor NCP1028, page 25"),
)
def conduction_loss(*, resistance: Real, current: Real) -> Real:
    """The loss of an RMS current in a resistance."""
    return resistance * current**2


@calculation(
    source=cite("algebra", "two transistors in series, back to back", "C"),
    units={"on_resistance": "Ω", "current": "A", "transistors": "1"},
    gives="W",
    example=Example(
        {"on_resistance": 5e-3, "current": 5.0, "transistors": 2.0},
        0.25,
        1e-9,
        "2 x 5 mΩ at 5 A",
        outside=False,
    ),
    no_outside="Ohm's law",
)
def output_switch_loss(*, on_resistance: Real, current: Real, transistors: Real = 2.0) -> Real:
    """The loss in the VBUS switch; two transistors where it blocks both ways."""
    return transistors * on_resistance * current**2


@calculation(
    source=cite("algebra", "constant drop times mean current", "C"),
    units={"bridge_drop": "V", "mean_current": "A"},
    gives="W",
    example=Example({"bridge_drop": 1.8, "mean_current": 0.7}, 1.26, 1e-9, "ours", outside=False),
    no_outside="Ohm's law for a constant drop",
)
def bridge_loss(*, bridge_drop: Real, mean_current: Real) -> Real:
    """The loss in the two conducting diodes of the bridge."""
    return bridge_drop * mean_current


@calculation(
    source=cite("onsemi-ncp1028", "page 25", "S"),
    units={"peak_current": "A", "voltage": "V", "fall_time": "s", "frequency": "Hz"},
    gives="W",
    errata="Triangles that cross: current and voltage change one after the other give three times this.",
    example=Example(
        {"peak_current": 0.447, "voltage": 650.0, "fall_time": 40e-9, "frequency": 1 / 15e-6},
        0.13,
        0.01,
        "ON Semiconductor NCP1028, page 25",
    ),
)
def crossing_loss(*, peak_current: Real, voltage: Real, fall_time: Real, frequency: Real) -> Real:
    """The switching loss of linear current and voltage edges that cross within one time: V I t f / 6."""
    return peak_current * voltage * fall_time * frequency / 6


@calculation(
    source=cite("algebra", "C V² f / 2", "C"),
    units={"capacitance": "F", "voltage": "V", "frequency": "Hz"},
    gives="W",
    example=Example(
        {"capacitance": 120e-12, "voltage": 205.0, "frequency": 146.54e3}, 0.3695, 1e-3, "ours", outside=False
    ),
    no_outside="energy of a capacitor; a nonlinear one needs its energy-equivalent capacitance",
)
def turn_on_loss(*, capacitance: Real, voltage: Real, frequency: Real) -> Real:
    """The loss of discharging the drain node through the switch."""
    return capacitance * voltage**2 * frequency / 2


@calculation(
    source=cite("algebra", "Q V f", "C"),
    units={"gate_charge": "C", "gate_voltage": "V", "frequency": "Hz"},
    gives="W",
    example=Example(
        {"gate_charge": 10e-9, "gate_voltage": 10.0, "frequency": 100e3}, 0.01, 1e-9, "ours", outside=False
    ),
    no_outside="charge through a supply",
)
def gate_loss(*, gate_charge: Real, gate_voltage: Real, frequency: Real) -> Real:
    """The power that the driver takes to charge the gate."""
    return gate_charge * gate_voltage * frequency


@calculation(
    source=cite("algebra", "leakage energy with the reflected voltage in series", "C"),
    units={
        "leakage_inductance": "H",
        "peak_current": "A",
        "frequency": "Hz",
        "clamp_voltage": "V",
        "reflected_voltage": "V",
    },
    gives="W",
    example=Example(
        {
            "leakage_inductance": 3.5e-6,
            "peak_current": 1.5,
            "frequency": 146.5e3,
            "clamp_voltage": 220.0,
            "reflected_voltage": 120.0,
        },
        1.269,
        1e-3,
        "ours",
        outside=False,
    ),
    no_outside="derived; held against time-domain integration of the commutation",
)
def clamp_loss(
    *,
    leakage_inductance: Real,
    peak_current: Real,
    frequency: Real,
    clamp_voltage: Real,
    reflected_voltage: Real,
) -> Real:
    """The loss in a clamp at a voltage above the bulk, of which the reflected voltage holds a part.

    Without the charge that the drain capacitance takes; `clamp_voltage` must exceed `reflected_voltage`.
    """
    energy = leakage_inductance * peak_current**2 / 2
    return energy * frequency * clamp_voltage / (clamp_voltage - reflected_voltage)


@dataclass(frozen=True, slots=True)
class LossModel:
    """Fixed loss in W, loss that goes with the current in V, with its square in Ω."""

    fixed: Real
    proportional: Real
    square: Real


@calculation(
    source=cite("algebra", "least squares of P = a + b I + c I²", "C"),
    units={"losses": "W", "currents": "A"},
    gives="fixed W, proportional V, square Ω",
    example=Example(
        {"losses": [1.0, 1.7, 2.6, 5.0], "currents": [0.0, 1.0, 2.0, 4.0]},
        {"fixed": 1.0, "proportional": 0.6, "square": 0.1},
        1e-9,
        "1 W + 0.6 V · I + 0.1 Ω · I²",
        outside=False,
    ),
    no_outside="least squares; a test holds it against numpy.polyfit",
)
def loss_model(*, losses: ArrayLike, currents: ArrayLike) -> LossModel:
    """The losses of a sweep as a fixed, a proportional and a square part, load points along the first axis.

    Further axes are draws, each fitted by itself. ValueError for fewer than four points: three would be met exactly.
    """
    lost, amps = np.asarray(losses, dtype=float), np.asarray(currents, dtype=float)
    if len(lost) < 4:
        raise ValueError("a loss model needs four load points or more")
    powers = np.stack([amps**k for k in range(3)], axis=-1)
    design, told = np.moveaxis(powers, 0, -2), np.moveaxis(lost, 0, -1)
    normal = np.swapaxes(design, -1, -2) @ design
    solved = np.linalg.solve(normal, np.swapaxes(design, -1, -2) @ told[..., None])[..., 0]
    fixed, proportional, square = (plain(solved[..., k]) for k in range(3))
    return LossModel(fixed, proportional, square)
