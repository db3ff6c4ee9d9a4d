"""A cable as the unit: what it loses at the current that its mark allows."""

from collections.abc import Iterator

from partingline.facts.derivation import Derivation
from partingline.facts.derivations.layout import Layout
from partingline.facts.draws import Array
from partingline.model import Key
from partingline.sources import cite


def derive(layout: Layout) -> Iterator[Derivation]:
    """Nothing but for a cable. Its resistance is that of both conductors and all contacts, there and back."""
    if layout.unit.kind.casefold() != "cable":
        return
    needs = {"resistance": Key.of("unit", "resistance"), "current": Key.of("unit", "cable_current")}
    source = cite("algebra", "Ohm's law", "C")
    yield Derivation(Key.of("unit", "cable_drop"), needs, _drop, source, note="at the current of its mark")


def _drop(*, resistance: Array, current: Array) -> Array:
    return resistance * current
