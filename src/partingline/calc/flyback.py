"""The flyback converter in its lossless closed forms: one cycle in each mode."""

from dataclasses import dataclass

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.flyback_design import boundary_duty, half_ring_time, reflected_voltage, trapezoid_rms
from partingline.calc.numbers import plain
from partingline.sources import cite

_NGSPICE = "own ngspice run, 150 V, 20 V 3 A, of a circuit with losses and leakage: the lossless form is within 3 %"


@dataclass(frozen=True, slots=True)
class FlybackCycle:
    """One switching cycle; every field is a float or an array of the inputs' shape.

    NaN: the mode does not exist.

    Currents without a suffix are RMS. `ring_time` is the wait from the end of demagnetisation to turn-on.
    """

    frequency: Real
    duty: Real
    on_time: Real
    demagnetisation_time: Real
    ring_time: Real
    peak_current: Real
    valley_current: Real
    primary_current: Real
    secondary_peak_current: Real
    secondary_current: Real
    output_ripple_current: Real


FIELDS = (
    "frequency Hz, duty 1, on_time s, demagnetisation_time s, ring_time s, peak_current A, valley_current A, "
    "primary_current A, secondary_peak_current A, secondary_current A, output_ripple_current A"
)
_UNITS = {
    "bulk_voltage": "V",
    "output_voltage": "V",
    "output_current": "A",
    "rectifier_drop": "V",
    "turns_ratio": "1",
    "magnetising_inductance": "H",
}


@calculation(
    source=cite("algebra", "exact solution of the lossless quasi-resonant cycle", "C"),
    units={**_UNITS, "drain_capacitance": "F", "valley": "1"},
    gives=FIELDS,
    errata="Leakage, loss and drain-node charge are left out: up to 6 % in frequency on our reference grid.",
    example=Example(
        {
            "bulk_voltage": 150.0,
            "output_voltage": 20.0,
            "output_current": 3.0,
            "rectifier_drop": 0.04,
            "turns_ratio": 6.0,
            "magnetising_inductance": 350e-6,
            "drain_capacitance": 120e-12,
            "valley": 1,
        },
        {"frequency": 91.34e3, "peak_current": 1.9535, "primary_current": 0.7332, "secondary_current": 4.839},
        0.03,
        _NGSPICE,
    ),
)
def quasi_resonant_cycle(
    *,
    bulk_voltage: Real,
    output_voltage: Real,
    output_current: Real,
    turns_ratio: Real,
    magnetising_inductance: Real,
    drain_capacitance: Real,
    rectifier_drop: Real = 0.0,
    valley: int = 1,
) -> FlybackCycle:
    """A cycle that turns on in valley 1, 2, ...

    of the drain ring; without drain capacitance it is boundary mode.

    ValueError for a valley below 1.
    """
    if valley < 1:
        raise ValueError(f"valley {valley}: expected 1 or more")
    vr = reflected_voltage(turns_ratio=turns_ratio, output_voltage=output_voltage, rectifier_drop=rectifier_drop)
    power = output_current * (output_voltage + rectifier_drop)
    ring = (2 * valley - 1) * half_ring_time(inductance=magnetising_inductance, capacitance=drain_capacitance)
    b = power * magnetising_inductance * (1 / bulk_voltage + 1 / vr)
    peak = (b + np.sqrt(b**2 + 2 * magnetising_inductance * power * ring)) / magnetising_inductance
    on, off = magnetising_inductance * peak / bulk_voltage, magnetising_inductance * peak / vr
    return _cycle(1 / (on + off + ring), on, off, ring, peak, 0.0 * peak, turns_ratio, output_current)


@calculation(
    source=cite("algebra", "lossless discontinuous cycle at a given frequency", "C"),
    units={**_UNITS, "frequency": "Hz"},
    gives=FIELDS,
    example=Example(
        {
            "bulk_voltage": 93.0,
            "output_voltage": 5.4,
            "output_current": 1.3723,
            "rectifier_drop": 0.0,
            "turns_ratio": 19.6,
            "magnetising_inductance": 2.96e-3,
            "frequency": 40e3,
        },
        {"peak_current": 0.355, "on_time": 11.3e-6, "demagnetisation_time": 9.95e-6},
        0.01,
        "iWatt iW1688, section 10: 5.7 W x 1.3 at 40 kHz",
    ),
)
def discontinuous_cycle(
    *,
    bulk_voltage: Real,
    output_voltage: Real,
    output_current: Real,
    turns_ratio: Real,
    magnetising_inductance: Real,
    frequency: Real,
    rectifier_drop: Real = 0.0,
) -> FlybackCycle:
    """A cycle at a given frequency whose current ends before the next one; NaN where it does not."""
    vr = reflected_voltage(turns_ratio=turns_ratio, output_voltage=output_voltage, rectifier_drop=rectifier_drop)
    power = output_current * (output_voltage + rectifier_drop)
    peak = plain(np.sqrt(2 * power / (magnetising_inductance * frequency)))
    on = magnetising_inductance * peak / bulk_voltage
    off = magnetising_inductance * peak / vr
    rest = plain(1 / np.asarray(frequency) - on - off)
    peak = plain(np.where(rest >= -1e-12, peak, np.nan))
    held = 0.0 * peak
    ring = plain(np.maximum(rest, 0.0) + held)
    return _cycle(frequency + held, on + held, off + held, ring, peak, held, turns_ratio, output_current)


@calculation(
    source=cite("erickson-3e", "section 11.4", "S"),
    units={**_UNITS, "frequency": "Hz"},
    gives=FIELDS,
    errata="Above a duty of one half, peak-current control needs slope compensation or goes subharmonic.",
    example=Example(
        {
            "bulk_voltage": 200.0,
            "output_voltage": 20.0,
            "output_current": 5.0,
            "rectifier_drop": 0.0,
            "turns_ratio": 1 / 0.15,
            "magnetising_inductance": 1.07e-3,
            "frequency": 150e3,
        },
        {
            "duty": 0.4,
            "peak_current": 1.5,
            "valley_current": 1.0,
            "primary_current": 0.796,
            "secondary_current": 6.50,
        },
        0.005,
        "Erickson and Maksimovic, 3rd edition, section 11.4",
    ),
)
def continuous_cycle(
    *,
    bulk_voltage: Real,
    output_voltage: Real,
    output_current: Real,
    turns_ratio: Real,
    magnetising_inductance: Real,
    frequency: Real,
    rectifier_drop: Real = 0.0,
) -> FlybackCycle:
    """A cycle at a given frequency whose current never ends; NaN where it would."""
    vr = reflected_voltage(turns_ratio=turns_ratio, output_voltage=output_voltage, rectifier_drop=rectifier_drop)
    duty = boundary_duty(bulk_voltage=bulk_voltage, reflected_voltage=vr)
    mean = output_current / (turns_ratio * (1 - duty))
    half = bulk_voltage * duty / (2 * magnetising_inductance * frequency)
    peak = plain(np.where(mean - half >= 0, mean + half, np.nan))
    held = 0.0 * peak
    on, off = duty / frequency + held, (1 - duty) / frequency + held
    return _cycle(frequency + held, on, off, held, peak, peak - 2 * half, turns_ratio, output_current)


def _cycle(
    frequency: Real,
    on: Real,
    off: Real,
    ring: Real,
    peak: Real,
    valley: Real,
    turns_ratio: Real,
    output_current: Real,
) -> FlybackCycle:
    """The record of a cycle with straight current edges."""
    primary = trapezoid_rms(peak=peak, valley=valley, share=on * frequency)
    secondary = turns_ratio * trapezoid_rms(peak=peak, valley=valley, share=off * frequency)
    return FlybackCycle(
        frequency=frequency,
        duty=on * frequency,
        on_time=on,
        demagnetisation_time=off,
        ring_time=ring,
        peak_current=peak,
        valley_current=valley,
        primary_current=primary,
        secondary_peak_current=turns_ratio * peak,
        secondary_current=secondary,
        output_ripple_current=np.sqrt(np.maximum(secondary**2 - output_current**2, 0.0)),
    )
