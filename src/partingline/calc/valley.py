"""The makers' estimates of the bulk valley, beside the exact cycle of `mains`."""

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite


@calculation(
    source=cite("fairchild-an-6094", "eq. 15 to 18", "S"),
    units={
        "power": "W",
        "capacitance": "F",
        "mains_voltage": "V",
        "mains_frequency": "Hz",
        "conduction_share": "1",
    },
    gives="V",
    valid_for={"conduction_share": (0.0, 1.0)},
    errata="The usual share of 0.2 is pessimistic for a small capacitor: 66.8 V against 78.2 V in our case.",
    example=Example(
        {
            "power": 8.22,
            "capacitance": 13.6e-6,
            "mains_voltage": 90.0,
            "mains_frequency": 60.0,
            "conduction_share": 0.2,
        },
        90.0,
        0.006,
        "Fairchild AN-6094, eq. 15 to 18",
    ),
)
def valley_voltage_estimate(
    *,
    power: Real,
    capacitance: Real,
    mains_voltage: Real,
    mains_frequency: Real,
    conduction_share: Real = 0.2,
) -> Real:
    """The makers' estimate of the bulk valley with an assumed conduction share of the half cycle."""
    square = 2 * mains_voltage**2 - power * (1 - conduction_share) / (capacitance * mains_frequency)
    return _root(square)


@calculation(
    source=cite("pi-an-17", "page 8", "S"),
    units={
        "output_power": "W",
        "efficiency": "1",
        "capacitance": "F",
        "mains_voltage": "V",
        "mains_frequency": "Hz",
        "conduction_time": "s",
    },
    gives="V",
    errata="The fixed 3.2 ms is 7 % optimistic in its own example: the exact valley is 86.4 V.",
    example=Example(
        {
            "output_power": 15.0,
            "efficiency": 0.8,
            "capacitance": 33e-6,
            "mains_voltage": 85.0,
            "mains_frequency": 60.0,
            "conduction_time": 3.2e-3,
        },
        93.0,
        0.005,
        "Power Integrations AN-17, page 8",
    ),
)
def valley_voltage_estimate_fixed_conduction(
    *,
    output_power: Real,
    efficiency: Real,
    capacitance: Real,
    mains_voltage: Real,
    mains_frequency: Real,
    conduction_time: Real = 3.2e-3,
) -> Real:
    """Another maker's estimate of the bulk valley, with an assumed conduction time."""
    away = 1 / (2 * mains_frequency) - conduction_time
    return _root(2 * mains_voltage**2 - 2 * output_power * away / (efficiency * capacitance))


@calculation(
    source=cite("from-memory", "form used in controller data sheets", "M"),
    units={"power": "W", "valley_voltage": "V", "mains_voltage": "V", "mains_frequency": "Hz"},
    gives="F",
    example=Example(
        {"power": 72.222222, "valley_voltage": 78.17, "mains_voltage": 90.0, "mains_frequency": 60.0},
        84.8e-6,
        0.002,
        "our 82 µF case, whose exact valley is 78.17 V",
        outside=False,
    ),
    no_outside="form from memory; its deviation from the exact model is shown",
)
def bulk_capacitance_for_valley(
    *, power: Real, valley_voltage: Real, mains_voltage: Real, mains_frequency: Real
) -> Real:
    """The bulk capacitance that keeps a valley, taking the discharge to start at the crest."""
    peak = np.sqrt(2) * mains_voltage
    share = 0.25 + np.arcsin(valley_voltage / peak) / (2 * np.pi)
    return plain(2 * power * share / ((peak**2 - valley_voltage**2) * mains_frequency))


def _root(square: Real) -> Real:
    """The square root, NaN where the capacitor would be empty."""
    return plain(np.sqrt(np.where(np.asarray(square) > 0, square, np.nan)))
