"""Junction temperatures: what was read on the package, and what the part's computed loss adds up to the junction."""

from collections.abc import Iterator

import numpy as np

from partingline.facts.derivation import Derivation
from partingline.facts.derivations.layout import Layout
from partingline.facts.derivations.trade import taken
from partingline.facts.draws import Array
from partingline.model import Key, Route
from partingline.sources import cite

STAGES = {
    "primary_switch": ("stage:primary", ("conduction_loss", "switching_loss")),
    "rectifier": ("stage:secondary", ("rectifier_loss",)),
}
"""Roles whose loss is computed: the stage that loses it, and the items."""
SOURCE = cite("algebra", "temperature rise is loss times thermal resistance", "C")
TRADE = cite("common-practice", "packages of power transistors", "P")


def derive(layout: Layout) -> Iterator[Derivation]:
    """For each transistor whose package temperature was read at a load point with computed losses."""
    for role, (stage, items) in STAGES.items():
        parts = [part for part in layout.parts(role) if part.kind == "transistor"]
        sharing = float(sum(part.count for part in parts))
        for part in parts:
            resistance = Key.of(part.subject, "thermal_resistance")
            usual = {"value": Key.of(stage, "thermal_resistance")}
            yield Derivation(resistance, usual, taken, TRADE, route=Route.ASSUMED, note="junction to package")
            for key in layout.with_quantity("part_temperature", part.subject):
                if key.subject != part.subject:
                    continue
                losses = tuple(Key.of(stage, item, **dict(key.at)) for item in items)
                yield Derivation(
                    Key.of(part.subject, "junction_temperature", **dict(key.at)),
                    {"read": key, "losses": losses, "resistance": resistance},
                    junction_temperature, SOURCE, {"sharing": sharing},
                    note="package as read, and the computed loss over the thermal resistance",
                )  # fmt: skip


def junction_temperature(*, read: Array, losses: Array, resistance: Array, sharing: float) -> Array:
    """°C; parts in parallel share the losses, which have shape (items, draws)."""
    return np.asarray(read + losses.sum(axis=0) / sharing * resistance)
