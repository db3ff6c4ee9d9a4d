"""What a bulk capacitor does when the mains goes and comes: hold-up and inrush."""

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite


@calculation(
    source=cite("infoneva-holdup", "constant-power load", "S"),
    units={"capacitance": "F", "start_voltage": "V", "lowest_voltage": "V", "power": "W"},
    gives="s",
    errata="Forms with C V ln(V/Vmin)/P, met elsewhere, are wrong for a constant-power load.",
    example=Example(
        {"capacitance": 57.1e-6, "start_voltage": 400.0, "lowest_voltage": 300.0, "power": 100.0},
        0.020,
        0.002,
        "infoneva knowledge note: 100 W for 20 ms from 400 to 300 V",
    ),
)
def hold_up_time(*, capacitance: Real, start_voltage: Real, lowest_voltage: Real, power: Real) -> Real:
    """How long the bulk capacitor feeds a constant power; from the valley it is the worst case."""
    return plain(np.maximum(capacitance * (start_voltage**2 - lowest_voltage**2) / (2 * power), 0.0))


@calculation(
    source=cite("infoneva-holdup", "constant-power load", "S"),
    units={"time": "s", "start_voltage": "V", "lowest_voltage": "V", "power": "W"},
    gives="F",
    example=Example(
        {"time": 0.020, "start_voltage": 400.0, "lowest_voltage": 300.0, "power": 100.0},
        57.1e-6,
        0.002,
        "infoneva knowledge note",
    ),
)
def hold_up_capacitance(*, time: Real, start_voltage: Real, lowest_voltage: Real, power: Real) -> Real:
    """The capacitance that feeds a constant power for a time."""
    return 2 * power * time / (start_voltage**2 - lowest_voltage**2)


@calculation(
    source=cite("ametherm-inrush", "peak voltage over resistance", "S"),
    units={"mains_voltage": "V", "resistance": "Ω"},
    gives="A",
    example=Example(
        {"mains_voltage": 528.0, "resistance": 24.886}, 30.0, 0.005, "Ametherm: 480 V + 10 %, 30 A, 24.9 Ω"
    ),
)
def inrush_current(*, mains_voltage: Real, resistance: Real) -> Real:
    """The worst inrush peak: switched on at the crest, the empty capacitor a short circuit."""
    return plain(np.sqrt(2) * mains_voltage / resistance)


@calculation(
    source=cite("ametherm-inrush", "peak voltage over the highest permitted current", "S"),
    units={"peak_voltage": "V", "current": "A"},
    gives="Ω",
    errata="The text prints 246.59 V in the quotient; the result follows from 746.59 V.",
    example=Example({"peak_voltage": 746.59, "current": 30.0}, 24.9, 0.005, "Ametherm worked example"),
)
def inrush_resistance(*, peak_voltage: Real, current: Real) -> Real:
    """The least cold resistance that keeps the inrush below a current."""
    return peak_voltage / current


@calculation(
    source=cite("algebra", "integral of an exponential decay", "C"),
    units={"peak_current": "A", "resistance": "Ω", "capacitance": "F"},
    gives="A²s",
    example=Example(
        {"peak_current": 37.335, "resistance": 10.0, "capacitance": 82e-6},
        0.5715,
        1e-3,
        "Ipk² RC / 2",
        outside=False,
    ),
    no_outside="an integral; held against numerical quadrature and against the energy of the capacitor",
)
def inrush_i2t(*, peak_current: Real, resistance: Real, capacitance: Real) -> Real:
    """The melting integral of an inrush that decays with RC; a fuse must exceed it."""
    return peak_current**2 * resistance * capacitance / 2
