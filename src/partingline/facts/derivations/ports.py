"""What the ports deliver: power from voltage and current, and the strongest of it."""

from collections.abc import Iterator

import numpy as np

from partingline.facts.derivation import Derivation
from partingline.facts.derivations.layout import Layout
from partingline.facts.draws import Array
from partingline.model import Key, Route, Sense
from partingline.sources import cite

POWER = cite("algebra", "power is voltage times current", "C")


def derive(layout: Layout) -> Iterator[Derivation]:
    """Output power at every load point, and the highest that each port kept up."""
    full: dict[str, list[Key]] = {}
    for key in layout.with_quantity("output_current", "port:"):
        at = dict(key.at)
        if "load" not in at or "offer" not in at:
            continue
        power = Key.of(key.subject, "output_power", **at)
        voltage = Key.of(key.subject, "port_voltage", **at)
        yield Derivation(
            power,
            {"voltage": voltage, "current": key},
            voltage_times_current,
            POWER,
            route=Route.MEASURED,
            note="V × I",
        )
        if "with" not in at and at["load"] == 1.0:
            full.setdefault(key.subject, []).append(power)
    for subject, powers in full.items():
        yield Derivation(
            Key.of(subject, "output_power"),
            {"values": tuple(sorted(powers, key=lambda key: key.id))},
            highest_of,
            cite("algebra", "the highest of the steady load points", "C"),
            route=Route.MEASURED,
            sense=Sense.AT_LEAST,
            chosen_from="values",
            note="the highest steady load point",
        )


def voltage_times_current(*, voltage: Array, current: Array) -> Array:
    """Power in W."""
    return voltage * current


def highest_of(*, values: Array) -> Array:
    """The row whose estimate is the highest, draws along the second axis."""
    return np.asarray(values[int(np.argmax(values[:, 0]))])
