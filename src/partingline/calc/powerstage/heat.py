"""What a case can give off to still air, and the power that keeps its surface below a temperature."""

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import bisect, plain
from partingline.calc.thermal import radiated_power
from partingline.sources import cite

GRAVITY = 9.81


@calculation(
    source=cite("churchill-chu-1975", "all Rayleigh numbers, read in a secondary copy", "S2"),
    units={"height": "m", "surface_temperature": "degC", "ambient_temperature": "degC"},
    gives="W/(m² K)",
    valid_for={"height": (5e-3, 1.0)},
    example=Example(
        {"height": 0.71, "surface_temperature": 232.0, "ambient_temperature": 23.0},
        7.0, 0.03, "Incropera, Fundamentals of Heat and Mass Transfer, chapter 9, glass screen: from memory",
    ),
)  # fmt: skip
def convection_coefficient(*, height: Real, surface_temperature: Real, ambient_temperature: Real) -> Real:
    """The mean coefficient of natural convection on an upright face of a height, in air at sea level."""
    rise = np.maximum(np.asarray(surface_temperature - ambient_temperature, dtype=float), 1e-3)
    film = 0.5 * (np.asarray(surface_temperature) + ambient_temperature) + 273.15
    conductivity = 0.0241 * (film / 273.15) ** 0.81
    viscosity = 1.716e-5 * (film / 273.15) ** 0.7 / (101325 / (287.05 * film))
    prandtl = 0.71
    rayleigh = GRAVITY * rise * np.asarray(height) ** 3 / (film * viscosity**2) * prandtl
    bracket = (1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27)
    nusselt = (0.825 + 0.387 * rayleigh ** (1 / 6) / bracket) ** 2
    return plain(nusselt * conductivity / height)


@calculation(
    source=cite("algebra", "convection and radiation in parallel", "C"),
    units={
        "area": "m²", "height": "m", "emissivity": "1", "surface_temperature": "degC", "ambient_temperature": "degC",
    },
    gives="W",
    valid_for={"emissivity": (0.0, 1.0)},
    errata="All of the surface at one temperature, standing free; a wall behind it or a hand about it takes part away.",
    example=Example(
        {
            "area": 8.0e-3, "height": 0.042, "emissivity": 0.9, "surface_temperature": 70.0,
            "ambient_temperature": 25.0,
        },
        5.1, 0.15, "15 W/(m² K) of both together, common practice for a small plastic case", outside=False,
    ),
    no_outside="sum of two published laws",
)  # fmt: skip
def case_heat(
    *, area: Real, height: Real, emissivity: Real, surface_temperature: Real, ambient_temperature: Real
) -> Real:
    """The heat that a case gives off at a mean surface temperature."""
    h = convection_coefficient(
        height=height, surface_temperature=surface_temperature, ambient_temperature=ambient_temperature
    )
    carried = h * area * (surface_temperature - ambient_temperature)
    rays = radiated_power(
        area=area, emissivity=emissivity, surface_temperature=surface_temperature,
        ambient_temperature=ambient_temperature,
    )  # fmt: skip
    return carried + rays


@calculation(
    source=cite("algebra", "loss times 1 / (1 - efficiency)", "C"),
    units={
        "area": "m²", "height": "m", "emissivity": "1", "surface_limit": "degC", "ambient_temperature": "degC",
        "efficiency": "1", "evenness": "1",
    },
    gives="W",
    valid_for={"efficiency": (0.5, 0.99), "evenness": (0.3, 1.0)},
    example=Example(
        {
            "area": 8.0e-3, "height": 0.042, "emissivity": 0.9, "surface_limit": 77.0, "ambient_temperature": 25.0,
            "efficiency": 0.9, "evenness": 0.9,
        },
        50.0, 0.15, "5.5 W of loss at 90 %", outside=False,
    ),
    no_outside="sum of two published laws",
)  # fmt: skip
def sustained_power(
    *,
    area: Real,
    height: Real,
    emissivity: Real,
    surface_limit: Real,
    ambient_temperature: Real,
    efficiency: Real,
    evenness: Real = 0.85,
) -> Real:
    """The output power that keeps the hottest face at a limit without end.

    `evenness` is the mean rise of the surface over that of its hottest face.
    """
    mean = ambient_temperature + evenness * (surface_limit - ambient_temperature)
    given = case_heat(
        area=area, height=height, emissivity=emissivity, surface_temperature=mean,
        ambient_temperature=ambient_temperature,
    )  # fmt: skip
    return given * efficiency / (1 - efficiency)


@calculation(
    source=cite("algebra", "inverse of the heat that a case gives off", "C"),
    units={"area": "m²", "height": "m", "emissivity": "1", "loss": "W", "ambient_temperature": "degC"},
    gives="degC",
    example=Example(
        {"area": 8.0e-3, "height": 0.042, "emissivity": 0.9, "loss": 5.1, "ambient_temperature": 25.0},
        70.0, 0.1, "inverse of the example of `case_heat`", outside=False,
    ),
    no_outside="inverse of a sum of two published laws",
)  # fmt: skip
def surface_temperature(*, area: Real, height: Real, emissivity: Real, loss: Real, ambient_temperature: Real) -> Real:
    """The mean surface temperature of a case that gives off a loss; NaN above 300 K of rise."""
    a, h, e, p, t = np.broadcast_arrays(
        *np.atleast_1d(*(np.asarray(x, dtype=float) for x in (area, height, emissivity, loss, ambient_temperature)))
    )
    found = bisect(
        lambda s: np.asarray(
            case_heat(area=a, height=h, emissivity=e, surface_temperature=s, ambient_temperature=t) - p
        ),
        t + 1e-6,
        t + 300.0,
    )
    shape = np.broadcast_shapes(*(np.shape(x) for x in (area, height, emissivity, loss, ambient_temperature)))
    return plain(np.reshape(found, shape))
