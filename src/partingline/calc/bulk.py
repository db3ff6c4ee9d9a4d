"""The bulk capacitor: rules of the trade for its valley and size, and how long it lasts without mains."""

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


@calculation(
    source=cite("fairchild-an-6094", "2 to 3 µF/W for 90 to 264 V, 1 µF/W for 195 to 265 V", "S"),
    units={"bulk_capacitance": "F", "input_power": "W"},
    gives="F/W",
    example=Example(
        {"bulk_capacitance": 82e-6, "input_power": 72.222222}, 1.1354e-6, 1e-4, "ratio", outside=False
    ),
    no_outside="a ratio; the rule it is held against is published",
)
def bulk_per_watt(*, bulk_capacitance: Real, input_power: Real) -> Real:
    """Bulk capacitance per watt of input power."""
    return bulk_capacitance / input_power


@calculation(
    source=cite("algebra", "crest of a sine", "C"),
    units={"mains_voltage": "V", "bridge_drop": "V"},
    gives="V",
    example=Example(
        {"mains_voltage": 265.0, "bridge_drop": 0.0}, 375.0, 0.002, "Power Integrations AN-17, page 8"
    ),
)
def peak_bulk_voltage(*, mains_voltage: Real, bridge_drop: Real = 0.0) -> Real:
    """The highest voltage that the bulk capacitor sees without surges."""
    return plain(np.sqrt(2) * mains_voltage - bridge_drop)


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


def _root(square: Real) -> Real:
    """The square root, NaN where the capacitor would be empty."""
    return plain(np.sqrt(np.where(np.asarray(square) > 0, square, np.nan)))
