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
    units={"length": "m", "width": "m", "height": "m", "prong_length": "m"},
    gives="m³",
    example=Example(
        {"length": 0.04, "width": 0.04, "height": 0.03, "prong_length": 0.02}, 72e-6, 1e-9, "box", outside=False
    ),
    no_outside="a box",
)
def volume_with_prongs(*, length: Real, width: Real, height: Real, prong_length: Real) -> Real:
    """The volume of the box about body and prongs, which stand out along the length: what it takes in a bag."""
    return (length + prong_length) * width * height


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


STANDARD_GRAVITY = 9.80665
"""m/s², by definition (CGPM, 1901)."""
SOCKET_DEPTH = 8e-3
"""m from the plug's face back to the axis about which the torque is taken."""


@calculation(
    source=cite("iec-62368-1-2018", "4.7: axis 8 mm behind the face of the socket", "M"),
    units={"mass": "kg", "centre_of_mass": "m"},
    gives="N·m",
    example=Example({"mass": 0.1, "centre_of_mass": 0.022}, 0.0294200, 1e-5, "0.1 kg at 30 mm", outside=False),
    no_outside="weight times arm",
)
def plug_torque(*, mass: Real, centre_of_mass: Real) -> Real:
    """The torque of the weight on the socket of a unit on its plug; `centre_of_mass` is from the plug's face."""
    return mass * STANDARD_GRAVITY * (centre_of_mass + SOCKET_DEPTH)


@calculation(
    source=cite("algebra", "a part of a length", "C"),
    units={"length": "m", "fraction": "1"},
    gives="m",
    example=Example({"length": 0.042, "fraction": 0.5}, 0.021, 1e-9, "the middle", outside=False),
    no_outside="a product",
)
def centre_of_mass(*, length: Real, fraction: Real) -> Real:
    """How far from the plug's face the centre of mass lies."""
    return length * fraction
