"""The body of a unit: volume, density, power density. Metres."""

from partingline.calc.declare import Example, Real, calculation
from partingline.sources import cite

CUBIC_INCH = 16.387064e-6
"""m³, exact: (25.4 mm)³."""


@calculation(
    source=cite("algebra", "box", "C"),
    units={"length": "m", "width": "m", "height": "m"},
    gives="m³",
    example=Example({"length": 0.04, "width": 0.04, "height": 0.03}, 48e-6, 1e-9, "box", outside=False),
    no_outside="a box",
)
def volume(*, length: Real, width: Real, height: Real) -> Real:
    """The volume of the enclosing box; say whether the pins are in it."""
    return length * width * height


@calculation(
    source=cite("algebra", "box", "C"),
    units={"length": "m", "width": "m", "height": "m"},
    gives="m²",
    example=Example({"length": 0.04, "width": 0.04, "height": 0.03}, 80e-4, 1e-9, "box", outside=False),
    no_outside="a box",
)
def surface_area(*, length: Real, width: Real, height: Real) -> Real:
    """The outer area of the enclosing box."""
    return 2 * (length * width + width * height + height * length)


@calculation(
    source=cite("algebra", "power over volume", "C"),
    units={"power": "W", "volume": "m³"},
    gives="W/m³",
    example=Example({"power": 65.0, "volume": 48e-6}, 1.3542e6, 1e-4, "65 W in 40 x 40 x 30 mm", outside=False),
    no_outside="a ratio",
)
def power_density(*, power: Real, volume: Real) -> Real:
    """Rated power over volume; 1 W/cm³ is 1e6 W/m³ and 16.387 W/in³."""
    return power / volume


@calculation(
    source=cite("algebra", "1 in³ = 16.387064 cm³", "C"),
    units={"power_density": "W/m³"},
    gives="W/in³",
    example=Example({"power_density": 1e6}, 16.387064, 1e-12, "the inch is 25.4 mm by definition"),
)
def power_density_per_cubic_inch(*, power_density: Real) -> Real:
    """A power density in the unit that the trade prints."""
    return power_density * CUBIC_INCH


@calculation(
    source=cite("algebra", "mass over volume", "C"),
    units={"mass": "kg", "volume": "m³"},
    gives="kg/m³",
    example=Example({"mass": 0.096, "volume": 48e-6}, 2000.0, 1e-9, "96 g in 48 cm³", outside=False),
    no_outside="a ratio",
)
def density(*, mass: Real, volume: Real) -> Real:
    """Mass over the volume of the body: low where a case is half empty."""
    return mass / volume
