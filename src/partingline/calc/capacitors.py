"""Capacitors: stored energy, discharge, leakage through Y capacitors, impulse classes."""

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite
from partingline.sources.tables import table


@calculation(
    source=cite("ametherm-inrush", "energy of the bulk capacitor", "S"),
    units={"capacitance": "F", "voltage": "V"},
    gives="J",
    errata="The text prints 736.59 V inside the product; 655 J follows from 746.59 V.",
    example=Example({"capacitance": 2350e-6, "voltage": 746.59}, 655.0, 0.001, "Ametherm worked example"),
)
def stored_energy(*, capacitance: Real, voltage: Real) -> Real:
    """The energy in a charged capacitor."""
    return capacitance * voltage**2 / 2


@calculation(
    source=cite("iec-61010-1", "6.3: 45 µC", "S2"),
    units={"capacitance": "F", "voltage": "V"},
    gives="C",
    example=Example({"capacitance": 82e-6, "voltage": 375.0}, 0.03075, 1e-6, "C V", outside=False),
    no_outside="a definition; the threshold that it is held against is published",
)
def stored_charge(*, capacitance: Real, voltage: Real) -> Real:
    """The charge in a charged capacitor."""
    return capacitance * voltage


@calculation(
    source=cite("algebra", "V exp(-t/RC)", "C"),
    units={"capacitance": "F", "resistance": "Ω", "start_voltage": "V", "time": "s"},
    gives="V",
    example=Example(
        {"capacitance": 1e-6, "resistance": 1e6, "start_voltage": 100.0, "time": 1.0},
        37.0,
        0.01,
        "IEC 60950-1, 2.1.1.7: 37 % after one time constant",
    ),
)
def residual_voltage(*, capacitance: Real, resistance: Real, start_voltage: Real, time: Real) -> Real:
    """What is left on a capacitor that discharges through a resistor; the mains peak is the worst start."""
    return start_voltage * np.exp(-time / (resistance * capacitance))


@calculation(
    source=cite("algebra", "RC ln(V0/V)", "C"),
    units={"capacitance": "F", "resistance": "Ω", "start_voltage": "V", "safe_voltage": "V"},
    gives="s",
    example=Example(
        {"capacitance": 1e-6, "resistance": 1e6, "start_voltage": 100.0, "safe_voltage": 36.788},
        1.0,
        1e-4,
        "IEC 60950-1, 2.1.1.7: 37 % after one time constant",
    ),
)
def discharge_time(*, capacitance: Real, resistance: Real, start_voltage: Real, safe_voltage: Real = 60.0) -> Real:
    """How long a capacitor needs through a resistor to fall to a voltage; 0 where it starts below."""
    return resistance * capacitance * np.log(np.maximum(start_voltage / safe_voltage, 1.0))


@calculation(
    source=cite("algebra", "V²/R", "C"),
    units={"voltage": "V", "resistance": "Ω"},
    gives="W",
    example=Example({"voltage": 374.8, "resistance": 2200.0}, 64.0, 0.005, "82 µF through 2.2 kΩ", outside=False),
    no_outside="Ohm's law",
)
def resistor_power(*, voltage: Real, resistance: Real) -> Real:
    """The power in a resistor: a discharge resistor at the mains, or the first moment of a discharge."""
    return voltage**2 / resistance


@calculation(
    source=cite("algebra", "2 π f C V", "C"),
    units={"capacitance": "F", "mains_voltage": "V", "mains_frequency": "Hz"},
    gives="A",
    example=Example(
        {"capacitance": 1e-9, "mains_voltage": 240.0, "mains_frequency": 50.0},
        75e-6,
        0.01,
        "2πfCV",
        outside=False,
    ),
    no_outside="the reactance of a capacitor; the limits that it is held against are published",
)
def touch_current(*, capacitance: Real, mains_voltage: Real, mains_frequency: Real) -> Real:
    """The line-frequency current through a Y capacitor into an earthed person, switching noise left out."""
    return 2 * np.pi * mains_frequency * capacitance * mains_voltage


@calculation(
    source=cite("iec-60384-14", "peak impulse before endurance", "S2"),
    units={"safety_class": "", "capacitance": "F"},
    gives="V",
    example=Example({"safety_class": "X1", "capacitance": 0.47e-6}, 4000.0, 0.0, "IEC 60384-14, peak impulse table"),
)
def suppression_impulse_voltage(*, safety_class: str, capacitance: Real) -> Real:
    """The peak impulse that a capacitor of class X1, X2, Y1, Y2 or Y4 must stand.

    ValueError for another class.
    """
    rows = table("parts")["suppression"]
    if not isinstance(rows.get(safety_class), dict):
        raise ValueError(f"safety class {safety_class!r}: expected X1, X2, Y1, Y2 or Y4")
    row = rows[safety_class]
    factor = np.sqrt(np.maximum(np.asarray(capacitance) / 1e-6, 1.0)) if row["falls"] else np.ones_like(capacitance)
    return plain(1e3 * row["kv"] / factor)
