"""Reading the design backwards: turns ratio, inductance, drain capacitance and windings from what was measured outside.

Each unknown is inferred without what was said of it, so that it stands beside a marking or a bench reading as a route
of its own; what was said of the others is used.
"""

from collections.abc import Iterator

import numpy as np

from partingline.facts.derivation import Derivation, Need
from partingline.facts.derivations.design import (
    COMMON,
    PRIORS,
    SCALING,
    SEVERAL,
    SHAPING,
    UNKNOWN,
    Reading,
    design_from_readings,
)
from partingline.facts.derivations.layout import Layout
from partingline.facts.derivations.mode import circuit, clock
from partingline.facts.derivations.power_stage import (
    FREQUENCY_LIMIT,
    PRIMARY,
    SECONDARY,
    part_counts,
    point_needs,
)
from partingline.facts.derivations.trade import RMS_VOLTAGE
from partingline.facts.draws import Array
from partingline.facts.show import condition_text
from partingline.model import Key, Part, Route
from partingline.sources import cite

SOURCE = cite("algebra", "Bayes' rule on the closed-form cycle, linear about its peak", "C")
MOST_POINTS = 12
LIGHTEST = 0.4
"""Below this share of the load controllers fold the frequency back, each in its own way."""
CLAMPED = 0.02
"""Two frequencies this close at different line or load are taken as the controller's limit."""
RING = Key.of(PRIMARY, "ring_period")
_POINT = ("input_power", "output_power", "port_voltage")
KEYS = {
    "turns_ratio": "turns_ratio", "magnetising_inductance": "magnetising_inductance",
    "drain_capacitance": "drain_capacitance", "primary_winding": "primary_winding_resistance",
    "secondary_winding": "secondary_winding_resistance",
}  # fmt: skip


def derive(layout: Layout) -> Iterator[Derivation]:
    """One way to each unknown, where a frequency and three losses were measured."""
    transformers, strongest = layout.parts("transformer"), layout.strongest_offer
    if len(transformers) != 1 or strongest is None or not circuit(layout).endswith("flyback"):
        return
    points = _points(layout, strongest[0], strongest[1])
    frequencies = _read(layout, PRIMARY, "switching_frequency", points)
    ripples = _read(layout, strongest[0], "ripple_voltage", points)
    yield _by_ring(transformers[0])
    if not frequencies or len(points) < 3 or np.isfinite(clock(layout)) or layout.parts("pfc_inductor"):
        return
    needs, optional = _needs(layout, transformers[0], points, frequencies, ripples)
    power = strongest[1] * strongest[2]
    readings = [Reading("loss", row) for row in range(len(points))]
    readings += [Reading("frequency", row) for _, row in frequencies]
    readings += [Reading("ripple", row) for _, row in ripples]
    losses = tuple(Key.of(key.subject, "loss", **dict(key.at)) for key in points)
    seen = (*losses, *(key for key, _ in frequencies), *(key for key, _ in ripples))
    fixed = {
        "readings": tuple(readings), "labels": tuple(condition_text(key) for key in points),
        "mains": tuple(key.number("mains") for key in points), "full_power": power, "offer": strongest[1],
        "current": strongest[2], "rms": power / RMS_VOLTAGE, "counts": part_counts(layout),
        "highest": _highest(layout, [key for key, _ in frequencies]), "ring_read": RING in layout.keys,
    }  # fmt: skip
    common = tuple(f"{strongest[0]}/loss/model, {name}" for name in COMMON)
    known = [one for one in UNKNOWN if f"said_{one}" in needs and not _only_assumed(layout, needs[f"said_{one}"])]
    for name in UNKNOWN:
        others = {n: k for n, k in needs.items() if n != f"said_{name}" or name not in known}
        gives = _key(name, transformers[0])
        free = tuple(one for one in PRIORS if f"said_{one}" not in others)
        told = tuple(one for one in UNKNOWN if f"said_{one}" in others and one in known)
        own = tuple(f"{_key(one, transformers[0]).id}/prior" for one in free)
        yield Derivation(
            gives, others, design_from_readings, SOURCE, {**fixed, "free": free, "told": told}, pick=name,
            optional=optional, own=(*own, *common, *(f"{key.id}/model" for key in seen)),
            said=frozenset({n for n in others if n.startswith("said_")} | {"frequencies", "ripples"}),
            note=f"read backwards from {len(points)} losses, {_several(len(frequencies), 'frequency', 'frequencies')}"
            + (f" and {_several(len(ripples), 'ripple', 'ripples')}" if ripples else ""),
        )  # fmt: skip


def _by_ring(transformer: Part) -> Derivation:
    """The drain capacitance from the ring's period, where that was read."""
    needs = {
        "ring_period": RING, "magnetising_inductance": Key.of(transformer.subject, "magnetising_inductance"),
        "leakage_inductance": Key.of(transformer.subject, "leakage_inductance"),
    }  # fmt: skip
    source = cite("algebra", "T = 2 pi sqrt(L C), losses left out", "C")
    gives = _key("drain_capacitance", transformer)
    return Derivation(gives, needs, capacitance_by_ring, source, said=frozenset({"magnetising_inductance"}))


def capacitance_by_ring(*, ring_period: Array, magnetising_inductance: Array, leakage_inductance: Array) -> Array:
    """F."""
    return np.asarray((ring_period / (2 * np.pi)) ** 2 / (magnetising_inductance + leakage_inductance))


def _several(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"


def _key(name: str, transformer: Part) -> Key:
    return Key.of(PRIMARY if name == "drain_capacitance" else transformer.subject, KEYS[name])


def _points(layout: Layout, port: str, offer: float) -> tuple[Key, ...]:
    """Load points of the strongest offer, the heaviest first where there are many."""
    found = [
        key
        for key in layout.with_quantity("input_power", port)
        if key.subject == port
        and set(dict(key.at)) == {"mains", "offer", "load"}
        and dict(key.at)["offer"] == offer
        and key.number("load") >= LIGHTEST
    ]
    return tuple(sorted(found, key=lambda key: (-key.number("load"), key.number("mains")))[:MOST_POINTS])


def _read(layout: Layout, subject: str, quantity: str, points: tuple[Key, ...]) -> tuple[tuple[Key, int], ...]:
    """Readings at the load points, with the row of their point."""
    rows = {key.at: row for row, key in enumerate(points)}
    found = (key for key in layout.with_quantity(quantity, subject) if key.subject == subject)
    return tuple((key, rows[key.at]) for key in found if key.at in rows)


def _needs(
    layout: Layout, transformer: Part, points: tuple[Key, ...], frequencies: tuple[tuple[Key, int], ...],
    ripples: tuple[tuple[Key, int], ...],
) -> tuple[dict[str, Need], frozenset[str]]:  # fmt: skip
    """What the losses are computed from, without the unknowns, and what was read; and which of it may be absent."""
    whole, optional = point_needs(layout, transformer, points[0])
    needs: dict[str, Need] = {n: k for n, k in whole.items() if n in (*SHAPING, *SCALING, *SEVERAL)}
    for quantity in (*_POINT, "loss"):
        keys = tuple(Key.of(key.subject, quantity, **dict(key.at)) for key in points)
        needs["losses" if quantity == "loss" else quantity] = keys
    needs["frequencies"] = tuple(key for key, _ in frequencies)
    if ripples:
        needs["ripples"] = tuple(key for key, _ in ripples)
    needs |= {
        "primary_share": Key.of(PRIMARY, "winding_loss_share"),
        "secondary_share": Key.of(SECONDARY, "winding_loss_share"),
    }  # fmt: skip
    said = {name: _key(name, transformer) for name in UNKNOWN}
    needs |= {f"said_{name}": key for name, key in said.items() if key in layout.keys}
    leakage = Key.of(transformer.subject, "leakage_inductance")
    measured = leakage in layout.keys and not _only_assumed(layout, leakage)
    share = {"leakage_share": Key.of(PRIMARY, "leakage_share")}
    return needs | ({"said_leakage_inductance": leakage} if measured else share), optional


def _only_assumed(layout: Layout, key: Need) -> bool:
    return all(one.route is Route.ASSUMED for one in layout.statements if one.key == key)


def _highest(layout: Layout, frequencies: list[Key]) -> float:
    """The controller's limit in Hz: two readings that agree at their top, or else the usual one."""
    read = sorted((f for key in frequencies if (f := layout.number(key)) is not None), reverse=True)
    if len(read) > 1 and (read[1] > (1 - CLAMPED) * read[0] or read[0] > 0.9 * FREQUENCY_LIMIT):
        return read[0]
    return max(FREQUENCY_LIMIT, *read)
