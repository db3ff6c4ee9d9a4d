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
