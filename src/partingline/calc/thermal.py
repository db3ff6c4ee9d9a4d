"""Temperatures: what may be touched, what a slow reading will settle at, and what copper does when hot.

degC and K.
"""

from dataclasses import dataclass

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite
from partingline.sources.tables import table

ZERO_C = 273.15
STEFAN_BOLTZMANN = 5.670374419e-8
"""W/(m² K⁴), CODATA 2018."""


@calculation(
    source=cite("iec-62368-1-2018", "Table 38, TS1; 77 °C plastic and 48 °C metal read, others from memory", "M"),
    units={"material": "", "contact": ""},
    gives="degC",
    example=Example(
        {"material": "plastic", "contact": "1 s to 10 s"},
        77.0,
        0.0,
        "IEC 62368-1, Table 38, as quoted in a mailing list",
    ),
)
def touch_temperature_limit(*, material: str, contact: str = "1 s to 10 s") -> float:
    """The TS1 limit of an accessible surface at 25 degC ambient.

    material: metal, glass, plastic, wood; contact: worn, held, `10 s to 1 min`, `1 s to 10 s`, `below 1 s`.
    ValueError for another word. Worn: the lower end of 43 to 48.
    """
    rows = table("iec62368")["touch_temperature"]
    if material not in ("metal", "glass", "plastic", "wood"):
        raise ValueError(f"material {material!r}: expected metal, glass, plastic or wood")
    if contact not in rows["contacts"]:
        raise ValueError(f"contact {contact!r}: expected one of {', '.join(rows['contacts'])}")
    return float(rows[material][rows["contacts"].index(contact)])


@calculation(
    source=cite("iec-62368-1-2018", "5.4.1.4 and Table 38: measured at 25 °C, no re-scaling to Tma", "S2"),
    units={"surface_temperature": "degC", "ambient_temperature": "degC"},
    gives="degC",
    example=Example(
        {"surface_temperature": 71.0, "ambient_temperature": 22.0},
        74.0,
        1e-9,
        "equal rise at 25 °C",
        outside=False,
    ),
    no_outside="the ambient is published; an equal rise at both ambients is our approximation",
)
def surface_temperature_at_25(*, surface_temperature: Real, ambient_temperature: Real) -> Real:
    """A surface temperature referred to 25 degC ambient, the rise above ambient taken as equal."""
    return surface_temperature - ambient_temperature + 25.0


@dataclass(frozen=True, slots=True)
class SteadyState:
    """Where an exponential settles, and its time constant."""

    temperature: Real
    time_constant: Real


@calculation(
    source=cite("algebra", "three equally spaced points of an exponential", "C"),
    units={"first": "degC", "second": "degC", "third": "degC", "interval": "s"},
    gives="temperature degC, time_constant s",
    errata="Real chargers have two time constants: use points of the tail.",
    example=Example(
        {"first": 25.0, "second": 51.3817, "third": 63.8435, "interval": 900.0},
        {"temperature": 75.0, "time_constant": 1200.0},
        1e-4,
        "points of 75 - 50 exp(-t/20 min)",
        outside=False,
    ),
    no_outside="inverse of the exponential; held against generated curves",
)
def steady_state_from_three_points(*, first: Real, second: Real, third: Real, interval: Real) -> SteadyState:
    """Final temperature and time constant from three equally spaced readings; NaN if they do not settle."""
    y0, y1, y2 = (np.asarray(y, dtype=float) for y in (first, second, third))
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = (y2 - y1) / (y1 - y0)
        settles = (ratio > 0) & (ratio < 1)
        final = (y1**2 - y0 * y2) / (2 * y1 - y0 - y2)
        tau = -interval / np.log(np.where(settles, ratio, np.nan))
    return SteadyState(temperature=np.where(settles, final, np.nan)[()], time_constant=np.asarray(tau)[()])


@calculation(
    source=cite("algebra", "first-order step response", "C"),
    units={"final": "degC", "start": "degC", "time": "s", "time_constant": "s"},
    gives="degC",
    example=Example(
        {"final": 75.0, "start": 25.0, "time": 900.0, "time_constant": 1200.0},
        51.3817,
        1e-5,
        "ours",
        outside=False,
    ),
    no_outside="an exponential",
)
def temperature_after(*, final: Real, start: Real, time: Real, time_constant: Real) -> Real:
    """The temperature of a body with one time constant after a time."""
    return final - (final - start) * np.exp(-time / time_constant)


@calculation(
    source=cite("iec-62368-1-2018", "steady state: less than 3 K in 30 min", "M"),
    units={"final": "degC", "start": "degC", "time_constant": "s"},
    gives="s",
    example=Example(
        {"final": 75.0, "start": 25.0, "time_constant": 1200.0},
        3073.1,
        1e-4,
        "change of the next 30 min is 3 K",
        outside=False,
    ),
    no_outside="criterion from memory; an exponential",
)
def time_to_steady(*, final: Real, start: Real, time_constant: Real) -> Real:
    """When the change over the next 30 min falls to 3 K, for one time constant; 0 where it does at once."""
    change = np.abs(np.asarray(final) - start) * (1 - np.exp(-1800.0 / np.asarray(time_constant)))
    return plain(time_constant * np.log(np.maximum(change / 3.0, 1.0)))


@calculation(
    source=cite("iec-60028", "0.00393 per kelvin at 20 °C", "M"),
    units={"resistance_at_20": "Ω", "temperature": "degC"},
    gives="Ω",
    valid_for={"temperature": (-50.0, 200.0)},
    example=Example({"resistance_at_20": 1.0, "temperature": 100.0}, 1.3144, 1e-6, "IEC 60028: 0.00393 per kelvin"),
)
def copper_resistance(*, resistance_at_20: Real, temperature: Real) -> Real:
    """The resistance of a copper conductor at a temperature."""
    return resistance_at_20 * (1 + 0.00393 * (temperature - 20.0))


@calculation(
    source=cite("iec-60028", "zero of the linear law at -234.5 °C", "M"),
    units={"cold_resistance": "Ω", "hot_resistance": "Ω", "cold_temperature": "degC"},
    gives="degC",
    example=Example(
        {"cold_resistance": 1.0, "hot_resistance": 1.3144, "cold_temperature": 20.0}, 100.0, 2e-3, "IEC 60028"
    ),
)
def winding_temperature(*, cold_resistance: Real, hot_resistance: Real, cold_temperature: Real) -> Real:
    """The mean temperature of a copper winding from its resistance cold and hot."""
    return (hot_resistance / cold_resistance) * (234.5 + cold_temperature) - 234.5


@calculation(
    source=cite("codata-2018", "Stefan-Boltzmann law", "C"),
    units={"area": "m²", "emissivity": "1", "surface_temperature": "degC", "ambient_temperature": "degC"},
    gives="W",
    valid_for={"emissivity": (0.0, 1.0)},
    example=Example(
        {"area": 1.0, "emissivity": 1.0, "surface_temperature": 0.0, "ambient_temperature": -273.15},
        315.66,
        1e-4,
        "Stefan-Boltzmann law at 273.15 K, CODATA 2018 constant",
    ),
)
def radiated_power(*, area: Real, emissivity: Real, surface_temperature: Real, ambient_temperature: Real) -> Real:
    """The heat that a convex surface radiates to surroundings at ambient temperature."""
    hot, cold = surface_temperature + ZERO_C, ambient_temperature + ZERO_C
    return emissivity * STEFAN_BOLTZMANN * area * (hot**4 - cold**4)
