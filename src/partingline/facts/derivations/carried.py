"""The output power at which each part reaches its rating: the rated power, by what is left of the part at it.

A stress is taken as proportional to the power. At the rated power itself this is no approximation, so that whether the
parts carry the rating does not hang on it.
"""

from collections.abc import Iterator

import numpy as np

from partingline.facts.derivation import Derivation, Need
from partingline.facts.derivations.layout import INPUT, Layout, part_keys
from partingline.facts.derivations.trade import counts, taken
from partingline.facts.draws import Array
from partingline.model import Key, Part, Route
from partingline.sources import cite

PRIMARY, SECONDARY = "stage:primary", "stage:secondary"
RATED = Key.of("unit", "output_power")
SOURCE = cite("algebra", "stress proportional to the power", "C")
FERRITE = cite("common-practice", "power ferrite at 100 °C", "P")
ALONE = (("fuse", "line_current"), ("inrush_limiter", "line_current"), ("common_mode_choke", "line_current"),
         ("bridge", "bridge_current"))  # fmt: skip
"""Roles of which each part carries the whole of a current of the input stage."""


def derive(layout: Layout) -> Iterator[Derivation]:
    """One way a part, or a group that shares its current, for which rating and stress can be known."""
    low = layout.lowest_mains
    for role, stress in ALONE:
        for part in layout.parts(role):
            if part.kind != "fusible resistor":
                yield _shared(part.ref, Key.of(INPUT, stress, mains=low), (part,), "rated_current")
    bulk = layout.parts("bulk_capacitor")
    yield from _group(bulk, Key.of(INPUT, "bulk_ripple_current", mains=low), "rated_ripple_current")
    if layout.strongest_offer is not None:
        at = {"mains": low, "offer": layout.strongest_offer[1]}
        ripple = Key.of(SECONDARY, "output_ripple_current", **at)
        yield from _group(layout.parts("output_capacitor"), ripple, "rated_ripple_current")
        yield from _group(layout.parts("primary_switch"), Key.of(PRIMARY, "peak_current", **at), "rated_current")
        yield from _cores(layout, at)
    yield from _hot(layout)


def _group(parts: tuple[Part, ...], stress: Key, rating: str) -> Iterator[Derivation]:
    if parts:
        yield _shared(" and ".join(part.ref for part in parts), stress, parts, rating)


def _shared(name: str, stress: Key, parts: tuple[Part, ...], rating: str) -> Derivation:
    needs: dict[str, Need] = {"power": RATED, "stress": stress, "ratings": part_keys(parts, rating)}
    gives = Key.of("unit", "carried_power", state=f"current of {name}")
    return Derivation(gives, needs, power_at_rating, SOURCE, {"counts": counts(parts)}, note="by its rated current")


def _cores(layout: Layout, at: dict[str, float]) -> Iterator[Derivation]:
    for part in layout.parts("transformer"):
        limit = Key.of(part.subject, "saturation_flux_density")
        usual = {"value": Key.of(PRIMARY, "saturation_flux_density")}
        yield Derivation(limit, usual, taken, FERRITE, route=Route.ASSUMED, note="core of power ferrite, hot")
        flux = Key.of(part.subject, "flux_density", **at)
        needs: dict[str, Need] = {"power": RATED, "stress": flux, "ratings": (limit,)}
        gives = Key.of("unit", "carried_power", state=f"saturation of {part.ref}")
        yield Derivation(gives, needs, power_at_rating, SOURCE, {"counts": counts((part,))}, note="by its saturation")


def _hot(layout: Layout) -> Iterator[Derivation]:
    """Parts whose temperature was read at full load, by the highest temperature of part or junction."""
    strongest = layout.strongest_offer
    for key in layout.with_quantity("part_temperature", "part:"):
        at = dict(key.at)
        if strongest is None or (at.get("offer"), at.get("load")) != (strongest[1], 1.0) or "with" in at:
            continue
        part = next((one for one in layout.unit.parts if one.subject == key.subject), None)
        room = layout.ambient_of(key)
        for read, rating in (("part_temperature", "rated_temperature"),
                             ("junction_temperature", "max_junction_temperature")):  # fmt: skip
            if part is not None:
                needs: dict[str, Need] = {
                    "power": RATED, "room": room, "temperature": Key.of(key.subject, read, **at),
                    "rating": Key.of(key.subject, rating),
                }  # fmt: skip
                gives = Key.of("unit", "carried_power", state=f"temperature of {part.ref}")
                yield Derivation(gives, needs, power_at_temperature, SOURCE, note=f"by its {rating.replace('_', ' ')}")


def power_at_rating(*, power: Array, stress: Array, ratings: Array, counts: Array) -> Array:
    """W; ratings of shape (k, draws) add up, each as often as it is there."""
    return np.asarray(power * (ratings * counts).sum(axis=0) / stress)


def power_at_temperature(*, power: Array, room: Array, temperature: Array, rating: Array) -> Array:
    """W; the rise is taken as proportional to the power."""
    return power * (rating - room) / (temperature - room)
