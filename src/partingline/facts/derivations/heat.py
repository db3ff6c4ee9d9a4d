"""Surface temperature as the limit is defined, and the life that a part's temperature leaves it."""

from collections.abc import Iterator

from partingline.calc import lifetime, thermal
from partingline.facts.derivation import Derivation
from partingline.facts.derivations.layout import Layout
from partingline.model import Key


def derive(layout: Layout) -> Iterator[Derivation]:
    """Temperatures at 25 °C ambient; electrolytic life by the 10 K rule."""
    at_25 = thermal.surface_temperature_at_25
    for key in layout.with_quantity("surface_temperature"):
        needs = {"surface_temperature": key, "ambient_temperature": layout.ambient_of(key)}
        yield Derivation(Key.of(key.subject, "surface_temperature_at_25", **dict(key.at)), needs, at_25, at_25.source)
    life = lifetime.life_10k
    capacitors = {
        part.subject
        for part in layout.parts("bulk_capacitor") + layout.parts("output_capacitor")
        if "polymer" not in f"{part.note} {part.marking} {part.package}".casefold()
    }
    for key in layout.with_quantity("part_temperature", "part:"):
        if key.subject in capacitors:
            needs = {
                "rated_life": Key.of(key.subject, "rated_life"),
                "rated_temperature": Key.of(key.subject, "rated_temperature"),
                "temperature": key,
            }
            lived = Key.of(key.subject, "bulk_life", **dict(key.at))
            yield Derivation(
                lived, needs, life, life.source, note="10 K rule for liquid electrolyte, ripple heating left out"
            )
