"""Volume, density and power density from the body's dimensions and mass."""

from collections.abc import Iterator

from partingline.calc import body as calc
from partingline.facts.derivation import Derivation
from partingline.facts.derivations.layout import Layout
from partingline.model import Key


def derive(layout: Layout) -> Iterator[Derivation]:
    """What the outside dimensions give."""
    sides = {name: Key.of("unit", name) for name in ("length", "width", "height")}
    volume = Key.of("unit", "volume")
    power, mass = Key.of("unit", "output_power"), Key.of("unit", "mass")
    yield Derivation(volume, sides, calc.volume, calc.volume.source, note="length × width × height, without prongs")
    yield Derivation(
        Key.of("unit", "volume_with_prongs"),
        {**sides, "prong_length": Key.of("unit", "prong_length")},
        calc.volume_with_prongs,
        calc.volume_with_prongs.source,
        note="the prongs stand out along the length",
    )
    yield Derivation(
        Key.of("unit", "surface_area"),
        sides,
        calc.surface_area,
        calc.surface_area.source,
        note="the six faces of the box",
    )
    density = calc.power_density
    yield Derivation(
        Key.of("unit", "power_density"),
        {"power": power, "volume": volume},
        density,
        density.source,
        note="without prongs",
    )
    yield Derivation(Key.of("unit", "density"), {"mass": mass, "volume": volume}, calc.density, calc.density.source)
    if layout.unit.kind == "wall charger":
        yield from _torque(mass, sides["length"])


def _torque(mass: Key, length: Key) -> Iterator[Derivation]:
    """What hangs on its plug pulls at the socket; the length is that from the plug's face."""
    centre = Key.of("unit", "centre_of_mass")
    fraction = Key.of("unit", "centre_of_mass_fraction")
    where = calc.centre_of_mass
    yield Derivation(centre, {"length": length, "fraction": fraction}, where, where.source)
    torque = calc.plug_torque
    note = "about an axis 8 mm behind the face; the length is that from the plug's face"
    yield Derivation(
        Key.of("unit", "plug_torque"), {"mass": mass, "centre_of_mass": centre}, torque, torque.source, note=note
    )
