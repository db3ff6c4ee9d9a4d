"""How long an electrolytic capacitor lasts, by the published models side by side. Hours and degC."""

import numpy as np
from numpy.typing import ArrayLike

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite

CEILING_H = 15 * 8766.0
"""Makers do not vouch for an estimate beyond 15 years (Nichicon, read)."""

BOLTZMANN_EV = 1.380649e-23 / 1.602176634e-19
"""Boltzmann constant in eV/K (CODATA 2018)."""

ZERO_C = 273.15

_COSEL = "Cosel FAQ a0057: 1000 h at 105 °C, 8 h a day each at 45, 55 and 65 °C"


@calculation(
    source=cite("cosel-a0057", "10 K rule", "S"),
    units={"rated_life": "h", "rated_temperature": "degC", "temperature": "degC"},
    gives="h",
    valid_for={"temperature": (40.0, 125.0)},
    example=Example({"rated_life": 1000.0, "rated_temperature": 105.0, "temperature": 45.0}, 64000.0, 0.0, _COSEL),
)
def life_10k(*, rated_life: Real, rated_temperature: Real, temperature: Real) -> Real:
    """Life that doubles with every 10 K below the rated temperature."""
    return rated_life * 2 ** ((rated_temperature - temperature) / 10)


@calculation(
    source=cite("db-lectro-life", "a factor two for each 5 K of core rise", "S2"),
    units={"rated_life": "h", "rated_temperature": "degC", "temperature": "degC", "core_rise": "K"},
    gives="h",
    example=Example(
        {"rated_life": 2000.0, "rated_temperature": 105.0, "temperature": 65.0, "core_rise": 5.0},
        16000.0,
        0.0,
        "2000 h x 16 / 2",
        outside=False,
    ),
    no_outside="formula read in a maker's note that gives no example",
)
def life_core_rise(*, rated_life: Real, rated_temperature: Real, temperature: Real, core_rise: Real) -> Real:
    """Life by the 10 K rule on the ambient, halved for every 5 K that ripple heats the core."""
    return rated_life * 2 ** ((rated_temperature - temperature) / 10) * 2 ** (-core_rise / 5)


@calculation(
    source=cite("rubycon-life", "life formula of radial types", "S"),
    units={
        "rated_life": "h",
        "rated_temperature": "degC",
        "temperature": "degC",
        "ripple_current": "A",
        "rated_ripple_current": "A",
        "rated_core_rise": "K",
    },
    gives="h",
    valid_for={"rated_core_rise": (3.5, 10.0)},
    example=Example(
        {
            "rated_life": 2000.0,
            "rated_temperature": 105.0,
            "temperature": 65.0,
            "ripple_current": 0.5,
            "rated_ripple_current": 1.0,
            "rated_core_rise": 5.0,
        },
        43483.5,
        1e-5,
        "formula of the maker, number worked out here",
        outside=False,
    ),
    no_outside="formula read in the maker's note; no worked number of theirs was found",
)
def life_rubycon(
    *,
    rated_life: Real,
    rated_temperature: Real,
    temperature: Real,
    ripple_current: Real,
    rated_ripple_current: Real,
    rated_core_rise: Real = 5.0,
) -> Real:
    """Life from ambient temperature and ripple current, with the ripple's core rise in the exponent.

    `rated_ripple_current` already holds the frequency factor; NaN from a core rise of 40 K, where the formula
    ends.
    """
    rise = rated_core_rise * (ripple_current / rated_ripple_current) ** 2
    rise = plain(np.where(np.asarray(rise) < 40.0, rise, np.nan))
    ripple = rated_core_rise / (10 - 0.25 * rated_core_rise) - rise / (10 - 0.25 * rise)
    return rated_life * 2 ** ((rated_temperature - temperature) / 10) * 2**ripple


@calculation(
    source=cite("cosel-a0057", "compound life", "S"),
    units={"hours": "h", "lives": "h"},
    gives="h",
    example=Example({"hours": [8.0, 8.0, 8.0], "lives": [64000.0, 32000.0, 16000.0]}, 27429.0, 1e-4, _COSEL),
)
def life_mission_profile(*, hours: ArrayLike, lives: ArrayLike) -> Real:
    """Life under a repeated profile: hours in each state and the life there, states along the first axis."""
    spent = np.asarray(hours, dtype=float)
    each = np.asarray(lives, dtype=float)
    spent = spent.reshape(spent.shape + (1,) * (each.ndim - spent.ndim))
    return plain(spent.sum(axis=0) / (spent / each).sum(axis=0))


@calculation(
    source=cite("cosel-a0057", "equivalent constant temperature", "S"),
    units={"life": "h", "rated_life": "h", "rated_temperature": "degC"},
    gives="degC",
    example=Example({"life": 27429.0, "rated_life": 1000.0, "rated_temperature": 105.0}, 57.2, 1e-3, _COSEL),
)
def equivalent_temperature(*, life: Real, rated_life: Real, rated_temperature: Real) -> Real:
    """The constant temperature that gives a life by the 10 K rule."""
    return rated_temperature - 10 * np.log2(life / rated_life)


@calculation(
    source=cite("codata-2018", "exp(Ea/k (1/T1 - 1/T2))", "C"),
    units={"activation_energy": "eV", "temperature": "degC", "stress_temperature": "degC"},
    gives="1",
    example=Example(
        {"activation_energy": 0.94, "temperature": 65.0, "stress_temperature": 105.0},
        30.3,
        0.002,
        "ours",
        outside=False,
    ),
    no_outside="the Arrhenius law with the exact Boltzmann constant",
)
def arrhenius_factor(*, activation_energy: Real, temperature: Real, stress_temperature: Real) -> Real:
    """How much faster a thermally activated process runs at the stress temperature."""
    inverse = 1 / (temperature + ZERO_C) - 1 / (stress_temperature + ZERO_C)
    return np.exp(activation_energy / BOLTZMANN_EV * inverse)


@calculation(
    source=cite("codata-2018", "ln(factor) k / (1/T1 - 1/T2)", "C"),
    units={"factor": "1", "temperature": "degC", "stress_temperature": "degC"},
    gives="eV",
    example=Example(
        {"factor": 2.0, "temperature": 95.0, "stress_temperature": 105.0},
        0.8315,
        1e-3,
        "10 K rule",
        outside=False,
    ),
    no_outside="the Arrhenius law with the exact Boltzmann constant",
)
def arrhenius_energy(*, factor: Real, temperature: Real, stress_temperature: Real) -> Real:
    """The activation energy that gives a factor between two temperatures."""
    inverse = 1 / (temperature + ZERO_C) - 1 / (stress_temperature + ZERO_C)
    return np.log(factor) * BOLTZMANN_EV / inverse
