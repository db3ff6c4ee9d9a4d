"""Single relations of the flyback converter, as design notes state them."""

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite


@calculation(
    source=cite("lt3512", "page 16", "S"),
    units={"turns_ratio": "1", "output_voltage": "V", "rectifier_drop": "V"},
    gives="V",
    example=Example(
        {"turns_ratio": 20.0, "output_voltage": 5.4, "rectifier_drop": 0.0},
        108.0,
        0.0,
        "iWatt iW1688: 20 x 5.4 V",
    ),
)
def reflected_voltage(*, turns_ratio: Real, output_voltage: Real, rectifier_drop: Real = 0.0) -> Real:
    """The output voltage seen from the primary; `turns_ratio` is primary over secondary."""
    return turns_ratio * (output_voltage + rectifier_drop)


@calculation(
    source=cite("iwatt-iw1688", "section 10", "S"),
    units={"bulk_voltage": "V", "reflected_voltage": "V", "overshoot": "V"},
    gives="V",
    errata="Printed as 372 + 20 + 5.4 + 100; it is 372 + 20 x 5.4 + 100.",
    example=Example(
        {"bulk_voltage": 372.0, "reflected_voltage": 108.0, "overshoot": 100.0},
        580.0,
        0.0,
        "iWatt iW1688, section 10",
    ),
)
def switch_voltage(*, bulk_voltage: Real, reflected_voltage: Real, overshoot: Real = 0.0) -> Real:
    """The peak drain voltage: plateau and what the leakage inductance adds until the clamp holds it."""
    return bulk_voltage + reflected_voltage + overshoot


@calculation(
    source=cite("lt3512", "page 17: without overshoot", "S"),
    units={"bulk_voltage": "V", "turns_ratio": "1", "output_voltage": "V", "overshoot_share": "1"},
    gives="V",
    valid_for={"overshoot_share": (0.0, 1.0)},
    example=Example(
        {"bulk_voltage": 72.0, "turns_ratio": 2.0, "output_voltage": 15.0, "overshoot_share": 0.0},
        51.0,
        0.0,
        "Linear Technology LT3512, page 17",
    ),
)
def rectifier_voltage(
    *, bulk_voltage: Real, turns_ratio: Real, output_voltage: Real, overshoot_share: Real = 0.0
) -> Real:
    """The peak reverse voltage of the rectifier; the step V/n rings over by a share of it, at most 1."""
    return output_voltage + (1 + overshoot_share) * bulk_voltage / turns_ratio


@calculation(
    source=cite("lt8302", "page 18", "S"),
    units={
        "switch_limit": "V",
        "bulk_voltage": "V",
        "overshoot": "V",
        "output_voltage": "V",
        "rectifier_drop": "V",
    },
    gives="1",
    example=Example(
        {
            "switch_limit": 65.0,
            "bulk_voltage": 32.0,
            "overshoot": 15.0,
            "output_voltage": 5.0,
            "rectifier_drop": 0.3,
        },
        3.4,
        0.002,
        "Analog Devices LT8302, page 18",
    ),
)
def highest_turns_ratio(
    *,
    switch_limit: Real,
    bulk_voltage: Real,
    overshoot: Real,
    output_voltage: Real,
    rectifier_drop: Real = 0.0,
) -> Real:
    """The largest primary-to-secondary ratio that keeps the switch within a limit."""
    return (switch_limit - bulk_voltage - overshoot) / (output_voltage + rectifier_drop)


@calculation(
    source=cite("lt3512", "page 16", "S"),
    units={"bulk_voltage": "V", "reflected_voltage": "V"},
    gives="1",
    example=Example({"bulk_voltage": 36.0, "reflected_voltage": 31.0}, 0.46, 0.01, "Linear Technology LT3512, page 17"),
)
def boundary_duty(*, bulk_voltage: Real, reflected_voltage: Real) -> Real:
    """The duty of boundary and continuous mode, from the volt-second balance."""
    return reflected_voltage / (bulk_voltage + reflected_voltage)


@calculation(
    source=cite("ti-snvs496f", "transformer section", "S"),
    units={"bulk_voltage": "V", "output_voltage": "V", "rectifier_drop": "V", "duty": "1"},
    gives="1",
    example=Example(
        {"bulk_voltage": 16.0, "output_voltage": 5.0, "rectifier_drop": 0.0, "duty": 0.5},
        1 / 0.313,
        0.005,
        "TI LM5002 (inputs from memory)",
    ),
)
def turns_ratio_for_duty(*, bulk_voltage: Real, output_voltage: Real, duty: Real, rectifier_drop: Real = 0.0) -> Real:
    """The primary-to-secondary ratio that gives a duty in continuous mode."""
    return bulk_voltage * duty / ((1 - duty) * (output_voltage + rectifier_drop))


@calculation(
    source=cite("lt3512", "page 16", "S"),
    units={"input_power": "W", "bulk_voltage": "V", "duty": "1"},
    gives="A",
    example=Example(
        {"input_power": 3.0 / 0.83, "bulk_voltage": 48.0, "duty": 0.39},
        0.39,
        0.015,
        "Linear Technology LT3512, page 16",
    ),
)
def boundary_peak_current(*, input_power: Real, bulk_voltage: Real, duty: Real) -> Real:
    """The peak primary current of boundary mode."""
    return 2 * input_power / (bulk_voltage * duty)


@calculation(
    source=cite("lt3512", "page 16; with the half ring left out", "S"),
    units={
        "magnetising_inductance": "H",
        "peak_current": "A",
        "bulk_voltage": "V",
        "reflected_voltage": "V",
        "ring_time": "s",
    },
    gives="Hz",
    errata="Leaving the ring out overstates the frequency by 9 % with 200 µH and 100 pF.",
    example=Example(
        {
            "magnetising_inductance": 200e-6,
            "peak_current": 0.39,
            "bulk_voltage": 48.0,
            "reflected_voltage": 31.0,
            "ring_time": 0.0,
        },
        240e3,
        0.01,
        "Linear Technology LT3512, page 16",
    ),
)
def boundary_frequency(
    *,
    magnetising_inductance: Real,
    peak_current: Real,
    bulk_voltage: Real,
    reflected_voltage: Real,
    ring_time: Real = 0.0,
) -> Real:
    """The frequency of boundary mode, or of valley switching with the ring time."""
    ramps = magnetising_inductance * peak_current * (1 / bulk_voltage + 1 / reflected_voltage)
    return 1 / (ramps + ring_time)


@calculation(
    source=cite("cirrus-an364", "eq. 31", "S"),
    units={"frequency": "Hz", "ring_time": "s", "bulk_voltage": "V", "reflected_voltage": "V"},
    gives="s",
    errata="Prints 4.14 µs for a ring of 1 µs: that is without the ring; the printed inputs give 3.79 µs.",
    example=Example(
        {"frequency": 85e3, "ring_time": 0.0, "bulk_voltage": 405.0, "reflected_voltage": 220.0},
        4.14e-6,
        0.001,
        "Cirrus Logic AN364, eq. 31, as its result was really computed",
    ),
)
def valley_on_time(*, frequency: Real, ring_time: Real, bulk_voltage: Real, reflected_voltage: Real) -> Real:
    """The on time at a frequency that includes the ring."""
    duty = boundary_duty(bulk_voltage=bulk_voltage, reflected_voltage=reflected_voltage)
    return plain((1 / np.asarray(frequency) - ring_time) * duty)


@calculation(
    source=cite("iwatt-iw1688", "section 10", "S"),
    units={"bulk_voltage": "V", "on_time": "s", "power": "W", "frequency": "Hz"},
    gives="H",
    example=Example(
        {"bulk_voltage": 93.0, "on_time": 11.3e-6, "power": 5.7 * 1.3, "frequency": 40e3},
        2.96e-3,
        0.01,
        "iWatt iW1688, section 10: 2.96 mH",
    ),
)
def inductance_for_power(*, bulk_voltage: Real, on_time: Real, power: Real, frequency: Real) -> Real:
    """The magnetising inductance that takes a power in discontinuous or boundary mode."""
    return (bulk_voltage * on_time) ** 2 * frequency / (2 * power)


@calculation(
    source=cite("lt3512", "page 17: sqrt(share / 3) for a triangle", "S"),
    units={"peak": "A", "valley": "A", "share": "1"},
    gives="A",
    example=Example(
        {"peak": 2 * 0.44, "valley": 0.0, "share": 1 - 0.46}, 0.37, 0.01, "Linear Technology LT3512, page 17"
    ),
)
def trapezoid_rms(*, peak: Real, valley: Real = 0.0, share: Real = 1.0) -> Real:
    """The RMS of a current that runs straight between two values for a share of the period, else 0."""
    return np.sqrt(share * (peak**2 + peak * valley + valley**2) / 3)


@calculation(
    source=cite("algebra", "half period of an LC ring", "C"),
    units={"inductance": "H", "capacitance": "F"},
    gives="s",
    example=Example(
        {"inductance": 200e-6, "capacitance": 100e-12},
        0.4443e-6,
        1e-3,
        "what LT3512 leaves out",
        outside=False,
    ),
    no_outside="resonance; the frequencies of the circuit simulator depend on it",
)
def half_ring_time(*, inductance: Real, capacitance: Real) -> Real:
    """The time from the end of demagnetisation to the first valley."""
    return np.pi * np.sqrt(inductance * capacitance)


@calculation(
    source=cite("algebra", "undamped ring about the bulk voltage", "C"),
    units={"bulk_voltage": "V", "reflected_voltage": "V"},
    gives="V",
    example=Example({"bulk_voltage": 150.0, "reflected_voltage": 120.0}, 30.0, 0.0, "ours", outside=False),
    no_outside="resonance; the valley voltages of the circuit simulator depend on it",
)
def first_valley_voltage(*, bulk_voltage: Real, reflected_voltage: Real) -> Real:
    """The drain voltage in the first valley; 0 where the ring reaches zero."""
    return plain(np.maximum(bulk_voltage - reflected_voltage, 0.0))
