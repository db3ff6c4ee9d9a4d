"""Flux, turns, gap and core loss. SI units throughout."""

import math

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite

MU_0 = 1.25663706212e-6
"""H/m, CODATA 2018."""

_LOG_GAMMA = np.frompyfunc(math.lgamma, 1, 1)


@calculation(
    source=cite("algebra", "V = L di/dt", "C"),
    units={"voltage": "V", "time": "s", "inductance": "H"},
    gives="A",
    example=Example(
        {"voltage": 93.0, "time": 11.3e-6, "inductance": 2.96e-3},
        0.355,
        1e-3,
        "iWatt iW1688, section 10: peak current",
    ),
)
def current_ramp(*, voltage: Real, time: Real, inductance: Real) -> Real:
    """The current that an inductance gains under a voltage in a time."""
    return voltage * time / inductance


@calculation(
    source=cite("algebra", "V = L di/dt", "C"),
    units={"voltage": "V", "time": "s", "current_change": "A"},
    gives="H",
    example=Example(
        {"voltage": 32.0, "time": 160e-9, "current_change": 0.87},
        5.9e-6,
        0.005,
        "Analog Devices LT8302, page 18",
    ),
)
def inductance_for_ramp(*, voltage: Real, time: Real, current_change: Real) -> Real:
    """The inductance whose current changes by an amount under a voltage in a time."""
    return voltage * time / current_change


@calculation(
    source=cite("erickson-3e", "section 11.4, eq. 11.82", "S"),
    units={"inductance": "H", "peak_current": "A", "turns": "1", "core_area": "m²"},
    gives="T",
    example=Example(
        {"inductance": 1.07e-3, "peak_current": 1.5, "turns": 58.7, "core_area": 1.09e-4},
        0.25,
        0.005,
        "Erickson and Maksimovic, 3rd edition, section 11.4",
    ),
)
def peak_flux_density(*, inductance: Real, peak_current: Real, turns: Real, core_area: Real) -> Real:
    """The flux density at a winding current."""
    return inductance * peak_current / (turns * core_area)


@calculation(
    source=cite("erickson-3e", "section 11.4, eq. 11.82", "S"),
    units={"inductance": "H", "peak_current": "A", "flux_density": "T", "core_area": "m²"},
    gives="1",
    errata="Fairchild AN-6094, page 9 prints 63.5 turns for inputs that give 57.7.",
    example=Example(
        {"inductance": 1.07e-3, "peak_current": 1.5, "flux_density": 0.25, "core_area": 1.09e-4},
        58.7,
        0.005,
        "Erickson and Maksimovic, 3rd edition, section 11.4",
    ),
)
def turns_for_flux_density(*, inductance: Real, peak_current: Real, flux_density: Real, core_area: Real) -> Real:
    """The fewest turns that keep the flux density at a winding current."""
    return inductance * peak_current / (flux_density * core_area)


@calculation(
    source=cite("iwatt-iw1688", "section 10", "S"),
    units={"voltage": "V", "time": "s", "flux_swing": "T", "core_area": "m²"},
    gives="1",
    example=Example(
        {"voltage": 93.0, "time": 11.3e-6, "flux_swing": 0.25, "core_area": 0.2e-4},
        210.0,
        0.002,
        "iWatt iW1688, section 10: 210 turns",
    ),
)
def turns_for_flux_swing(*, voltage: Real, time: Real, flux_swing: Real, core_area: Real) -> Real:
    """The turns whose peak-to-peak flux density is a swing under a voltage for a time."""
    return voltage * time / (flux_swing * core_area)


@calculation(
    source=cite("erickson-3e", "section 12.3.2: half of it is the book's ΔB", "S"),
    units={"voltage": "V", "time": "s", "turns": "1", "core_area": "m²"},
    gives="T",
    example=Example(
        {"voltage": 160.0, "time": 5e-6, "turns": 22.0, "core_area": 1.27e-4},
        2 * 0.143,
        0.005,
        "Erickson and Maksimovic, section 12.3.2: 800 V µs, 22 turns, EE40",
    ),
)
def flux_swing(*, voltage: Real, time: Real, turns: Real, core_area: Real) -> Real:
    """The peak-to-peak flux density of a voltage for a time."""
    return voltage * time / (turns * core_area)


@calculation(
    source=cite("erickson-3e", "section 11.4, eq. 11.83", "S"),
    units={"inductance": "H", "turns": "1", "core_area": "m²"},
    gives="m",
    errata="Fringing is left out: a real gap is longer.",
    example=Example(
        {"inductance": 1.07e-3, "turns": 59.0, "core_area": 1.09e-4},
        0.44e-3,
        0.02,
        "Erickson and Maksimovic, 11.4",
    ),
)
def gap_length(*, inductance: Real, turns: Real, core_area: Real) -> Real:
    """The total gap that sets an inductance, the core taken as infinitely permeable."""
    return MU_0 * core_area * turns**2 / inductance


@calculation(
    source=cite("erickson-3e", "section 12.3.2, eq. 12.42: Kfe ΔB^β Ac lm", "S"),
    units={"coefficient": "", "frequency": "Hz", "alpha": "1", "flux_amplitude": "T", "beta": "1"},
    gives="W/m³",
    errata="Coefficients hold for one material, temperature and range: another ferrite can differ ninefold.",
    example=Example(
        {"coefficient": 7.6e6, "frequency": 1.0, "alpha": 0.0, "flux_amplitude": 0.143, "beta": 2.6},
        0.47 / (1.27e-4 * 7.7e-2),
        0.01,
        "Erickson and Maksimovic, section 12.3.2: 0.47 W in an EE40 at 75 kHz",
    ),
)
def steinmetz_loss(*, coefficient: Real, frequency: Real, alpha: Real, flux_amplitude: Real, beta: Real) -> Real:
    """Core loss per volume for a sine of flux density: k f^α B^β, B the amplitude (half of peak to peak)."""
    return coefficient * frequency**alpha * flux_amplitude**beta


@calculation(
    source=cite("igse-2001", "ki", "M"),
    units={"coefficient": "", "alpha": "1", "beta": "1"},
    gives="",
    example=Example(
        {"coefficient": 1.0, "alpha": 2.0, "beta": 2.0}, 1 / (2 * np.pi**2), 1e-9, "α = β = 2", outside=False
    ),
    no_outside="held against the Steinmetz equation, which it must return for a sine",
)
def igse_coefficient(*, coefficient: Real, alpha: Real, beta: Real) -> Real:
    """The coefficient of the improved generalised Steinmetz equation from Steinmetz coefficients."""
    a = np.asarray(alpha, dtype=float)
    integral = 2 * math.sqrt(np.pi) * np.exp(np.asarray(_LOG_GAMMA((a + 1) / 2) - _LOG_GAMMA(a / 2 + 1), dtype=float))
    return plain(coefficient / ((2 * np.pi) ** (a - 1) * integral * 2 ** (np.asarray(beta) - a)))


@calculation(
    source=cite("igse-2001", "piecewise linear flux", "M"),
    units={
        "coefficient": "",
        "alpha": "1",
        "beta": "1",
        "flux_swing": "T",
        "on_time": "s",
        "demagnetisation_time": "s",
        "frequency": "Hz",
    },
    gives="W/m³",
    errata="One maker's note halves the loss for unipolar flux: wrong, half of peak to peak is taken once.",
    example=Example(
        {
            "coefficient": 1.0,
            "alpha": 1.2,
            "beta": 2.6,
            "flux_swing": 0.2,
            "on_time": 5e-6,
            "demagnetisation_time": 5e-6,
            "frequency": 1e5,
        },
        0.968 * 1e5**1.2 * 0.1**2.6,
        1e-3,
        "triangle over sine 0.968 at a duty of one half",
        outside=False,
    ),
    no_outside="held against numerical integration of the definition",
)
def flyback_core_loss(
    *,
    coefficient: Real,
    alpha: Real,
    beta: Real,
    flux_swing: Real,
    on_time: Real,
    demagnetisation_time: Real,
    frequency: Real,
) -> Real:
    """Core loss per volume of a flux that rises in the on time and falls in the demagnetisation time.

    `coefficient`, `alpha`, `beta` are Steinmetz coefficients in SI units; flat stretches lose nothing.
    """
    ki = igse_coefficient(coefficient=coefficient, alpha=alpha, beta=beta)
    stretches = on_time ** (1 - alpha) + demagnetisation_time ** (1 - alpha)
    return ki * flux_swing**beta * frequency * stretches


@calculation(
    source=cite("erickson-3e", "section 12.3, eq. 12.25", "S"),
    units={
        "volt_seconds": "V s",
        "total_current": "A",
        "core_coefficient": "W/(m³ T^β)",
        "beta": "1",
        "fill": "1",
        "mean_turn": "m",
        "window_area": "m²",
        "core_area": "m²",
        "core_length": "m",
    },
    gives="T",
    example=Example(
        {
            "volt_seconds": 62.5e-6,
            "total_current": 8.0,
            "core_coefficient": 24.7e6,
            "beta": 2.6,
            "fill": 0.5,
            "mean_turn": 4.42e-2,
            "window_area": 0.297e-4,
            "core_area": 0.635e-4,
            "core_length": 3.15e-2,
        },
        0.0858,
        0.002,
        "Erickson and Maksimovic, section 12.3.1: 2213 pot core",
    ),
)
def optimum_flux_amplitude(
    *,
    volt_seconds: Real,
    total_current: Real,
    core_coefficient: Real,
    beta: Real,
    fill: Real,
    mean_turn: Real,
    window_area: Real,
    core_area: Real,
    core_length: Real,
) -> Real:
    """The flux amplitude at which copper and core loss together are least, DC resistance taken."""
    copper = 1.724e-8 * volt_seconds**2 * total_current**2 / (2 * fill)
    shape = mean_turn / (window_area * core_area**3 * core_length)
    return (copper * shape / (beta * core_coefficient)) ** (1 / (beta + 2))


@calculation(
    source=cite("erickson-3e", "section 12.3, eq. 12.19", "S"),
    units={
        "volt_seconds": "V s",
        "total_current": "A",
        "core_coefficient": "W/(cm³ T^β)",
        "beta": "1",
        "fill": "1",
        "total_loss": "W",
    },
    gives="cm^x, as the tables of the book",
    example=Example(
        {
            "volt_seconds": 62.5e-6,
            "total_current": 8.0,
            "core_coefficient": 24.7,
            "beta": 2.6,
            "fill": 0.5,
            "total_loss": 0.25,
        },
        0.00295,
        0.002,
        "Erickson and Maksimovic, section 12.3.1",
    ),
)
def core_geometry_constant(
    *,
    volt_seconds: Real,
    total_current: Real,
    core_coefficient: Real,
    beta: Real,
    fill: Real,
    total_loss: Real,
) -> Real:
    """The Kgfe that a core must have for a total loss; in centimetres, as the published core tables are."""
    top = 1.724e-6 * volt_seconds**2 * total_current**2 * core_coefficient ** (2 / beta)
    return 1e8 * top / (4 * fill * total_loss ** ((beta + 2) / beta))


@calculation(
    source=cite("erickson-3e", "section 12.3, eq. 12.8", "S"),
    units={"turns": "1", "total_current": "A", "mean_turn": "m", "window_area": "m²", "fill": "1"},
    gives="W",
    example=Example(
        {"turns": 22.0, "total_current": 14.4, "mean_turn": 8.5e-2, "window_area": 1.1e-4, "fill": 0.25},
        5.4,
        0.01,
        "Erickson and Maksimovic, section 12.3.2: 5.4 W in an EE40",
    ),
)
def winding_loss(*, turns: Real, total_current: Real, mean_turn: Real, window_area: Real, fill: Real) -> Real:
    """The DC copper loss at 20 degC of all windings, the window shared best; currents referred to `turns`."""
    return 1.724e-8 * mean_turn * turns**2 * total_current**2 / (window_area * fill)
