"""The power that the case can give off: by the laws of heat transfer, and by the rise that was measured."""

from collections.abc import Iterator

import numpy as np

from partingline.calc import heat
from partingline.facts.derivation import Derivation, Need
from partingline.facts.derivations.layout import INPUT, Layout
from partingline.facts.derivations.trade import is_metal, model_factor
from partingline.facts.draws import Array
from partingline.model import Key
from partingline.sources import cite

CASE_SOURCE = cite("churchill-chu-1975", "vertical plate for all faces, and radiation", "S2")
EVEN_SOURCE = cite("algebra", "mean rise over highest rise", "C")
ENOUGH_FACES = 3
RISE_SOURCE = cite("algebra", "temperature rise proportional to loss", "C")


def derive(layout: Layout) -> Iterator[Derivation]:
    """At 25 and 40 °C ambient by two routes: laws of heat transfer, and the rise that was measured of the hottest face.

    The limit is TS1 of a plastic or metal case touched for up to 10 s, the same at both.
    """
    full = [key for key in layout.with_quantity("input_power", "port:") if _is_full(layout, key)]
    efficiency = (
        Key.of(full[0].subject, "efficiency", **dict(full[0].at)) if full else Key.of(INPUT, "full_load_efficiency")
    )
    needs: dict[str, Need] = {
        "area": Key.of("unit", "surface_area"), "height": Key.of("unit", "height"), "efficiency": efficiency,
        "material": Key.of("unit", "case_material"), "emissivity": Key.of("unit", "emissivity"),
        "evenness": Key.of("unit", "surface_evenness"), "prong_share": Key.of("unit", "prong_share"),
        "model": model_factor("convection"),
    }  # fmt: skip
    for ambient in (25.0, 40.0):
        gives = Key.of("unit", "sustained_power", state=f"{ambient:g} °C ambient")
        fixed = {"ambient": ambient}
        note = "standing free, some heat into the socket"
        yield Derivation(gives, needs, power_of_the_case, CASE_SOURCE, fixed, note=note)
        for key in full:
            if faces := _faces(layout, key):
                seen: dict[str, Need] = {
                    "faces": faces, "room": layout.ambient_of(key), "material": needs["material"],
                    "loss": Key.of(key.subject, "loss", **dict(key.at)), "efficiency": efficiency,
                }  # fmt: skip
                yield Derivation(
                    gives, seen, power_by_measured_rise, RISE_SOURCE, fixed, chosen_from="faces",
                    note="rise taken as proportional to loss",
                )  # fmt: skip
    yield from _given_off(layout, needs)


def _given_off(layout: Layout, needs: dict[str, Need]) -> Iterator[Derivation]:
    """At each load point whose faces were read: what the case gives off, and how even its rise is."""
    box = {name: needs[name] for name in ("area", "height", "emissivity", "prong_share", "model")}
    for key in layout.with_quantity("surface_temperature", "unit"):
        faces = _faces(layout, key)
        if not faces:
            continue
        seen: dict[str, Need] = {"faces": faces, "room": layout.ambient_of(key)}
        given, note = Key.of("unit", "case_heat", **dict(key.at)), f"mean of {len(faces)} faces"
        yield Derivation(given, {**box, **seen}, heat_of_the_case, CASE_SOURCE, note=note)
        if len(faces) >= ENOUGH_FACES:
            yield Derivation(Key.of("unit", "surface_evenness"), seen, evenness_of_faces, EVEN_SOURCE, note=note)


def _faces(layout: Layout, key: Key) -> tuple[Key, ...]:
    """The temperatures of the case's faces under the conditions of a key."""
    return tuple(k for k in layout.with_quantity("surface_temperature", "face:") if k.at == key.at)


def _is_full(layout: Layout, key: Key) -> bool:
    strongest = layout.strongest_offer
    at = dict(key.at)
    return bool(
        strongest and (key.subject, at.get("offer")) == strongest[:2] and at.get("load") == 1.0 and "with" not in at
    )


def heat_of_the_case(
    *, faces: Array, room: Array, area: Array, height: Array, emissivity: Array, prong_share: Array, model: Array
) -> Array:
    """W; natural convection and radiation at the mean of the faces, and what the prongs carry away."""
    given = heat.case_heat(
        area=area, height=height, emissivity=emissivity, surface_temperature=faces.mean(axis=0),
        ambient_temperature=room,
    )  # fmt: skip
    return np.asarray((1 + prong_share) * given * model)


def evenness_of_faces(*, faces: Array, room: Array) -> Array:
    """The mean rise of the faces over that of the hottest."""
    return np.asarray((faces.mean(axis=0) - room) / (faces.max(axis=0) - room))


def power_by_measured_rise(
    *, faces: Array, room: Array, loss: Array, efficiency: Array, material: str, ambient: float
) -> Array:
    """W; the hottest face's rise per watt as it was measured at full load."""
    resistance = (faces.max(axis=0) - room) / loss
    return np.asarray((_limit(material) - ambient) / resistance * efficiency / (1 - efficiency))


def power_of_the_case(
    *, area: Array, height: Array, emissivity: Array, evenness: Array, prong_share: Array, model: Array,
    efficiency: Array, material: str, ambient: float,
) -> Array:  # fmt: skip
    """W; what the case gives off by itself, and what the prongs carry away."""
    power = heat.sustained_power(
        area=area, height=height, emissivity=emissivity, efficiency=efficiency, ambient_temperature=ambient,
        surface_limit=_limit(material), evenness=evenness,
    )  # fmt: skip
    return np.asarray((1 + prong_share) * power * model)


def _limit(material: str) -> float:
    from partingline.calc.thermal import touch_temperature_limit

    return touch_temperature_limit(material="metal" if is_metal(material) else "plastic")
