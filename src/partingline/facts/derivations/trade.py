"""What no part tells, made into what the calculations need: ranges of the trade as resistances and inductances.

The ranges themselves are built-in assumptions (`assumptions.toml`); what follows from them is as weak, so that any
part, reading or calculation goes before it.
"""

from collections.abc import Iterable, Iterator

import numpy as np

from partingline.facts.derivation import Derivation
from partingline.facts.derivations.layout import INPUT, Layout, part_keys
from partingline.facts.draws import Array
from partingline.model import Key, Part, Route
from partingline.sources import cite

PRIMARY, SECONDARY = "stage:primary", "stage:secondary"
MODEL_FACTORS = (
    "core", "primary copper", "secondary copper", "switch turn-on", "switch turn-off", "drain ring", "clamp",
    "leakage ring", "rectifier switching",
)  # fmt: skip
"""Loss items whose model has an error of its own, drawn as a factor: subject `model:core`."""
RMS_VOLTAGE = 85.0
"""V; the primary's RMS current at full load is about the power over this; the secondary's 1.5 times the load."""
SHARE = cite("common-practice", "a range of the trade", "P")
PARALLEL = cite("algebra", "parts in parallel", "C")
GROUPS = (
    (PRIMARY, "clamp_resistance", "clamp", "resistor", "resistance"),
    (PRIMARY, "clamp_capacitance", "clamp", "capacitor", "capacitance"),
    (SECONDARY, "equivalent_series_resistance", "output_capacitor", "capacitor", "equivalent_series_resistance"),
    (INPUT, "equivalent_series_resistance", "bulk_capacitor", "capacitor", "equivalent_series_resistance"),
)
"""What a stage has of a quantity, from the parts of a role and kind that stand side by side."""


def derive(layout: Layout) -> Iterator[Derivation]:
    """Leakage and winding resistances of the one transformer, parts in parallel, and the emissivity of the case."""
    transformers = layout.parts("transformer")
    if len(transformers) == 1:
        yield from _transformer(layout, transformers[0].subject)
    for subject, quantity, role, kind, of in GROUPS:
        parts = tuple(part for part in layout.parts(role) if part.kind == kind)
        if parts:
            together = sum_of if of == "capacitance" else in_parallel
            needs = {"values": part_keys(parts, of)}
            yield Derivation(Key.of(subject, quantity), needs, together, PARALLEL, {"counts": counts(parts)})
    yield from _rectifier(layout)
    surface = "metal" if is_metal(layout.text(Key.of("unit", "case_material"))) else "plastic"
    assumed = {"value": Key.of("unit", "emissivity", state=surface)}
    yield Derivation(Key.of("unit", "emissivity"), assumed, taken, SHARE, route=Route.ASSUMED, note=f"{surface} case")


def model_factor(item: str) -> Key:
    """The error of a model, as a factor: 1 with its spread."""
    return Key.of(f"model:{item.replace(' ', '_').replace('-', '_')}", "model_factor")


def _transformer(layout: Layout, subject: str) -> Iterator[Derivation]:
    needs = {
        "share": Key.of(PRIMARY, "leakage_share"),
        "inductance": Key.of(subject, "magnetising_inductance"),
    }
    leakage = Key.of(subject, "leakage_inductance")
    note = "a share of the magnetising inductance"
    yield Derivation(leakage, needs, share_of_inductance, SHARE, route=Route.ASSUMED, note=note)
    if layout.strongest_offer is None:
        return
    _, voltage, current = layout.strongest_offer
    power = voltage * current
    for stage, quantity, rms in (
        (PRIMARY, "primary_winding_resistance", power / RMS_VOLTAGE),
        (SECONDARY, "secondary_winding_resistance", 1.5 * current),
    ):
        yield Derivation(
            Key.of(subject, quantity), {"share": Key.of(stage, "winding_loss_share")}, share_as_resistance, SHARE,
            {"power": power, "current": rms}, route=Route.ASSUMED, note="a share of the full power lost in the winding",
        )  # fmt: skip


def _rectifier(layout: Layout) -> Iterator[Derivation]:
    """The drop of a diode from the part, else that of its kind; a synchronous rectifier has hardly any."""
    gives = Key.of(SECONDARY, "forward_voltage")
    diodes = layout.rectifying_diodes
    kind = "diode" if diodes else "synchronous"
    assumed = {"value": Key.of(SECONDARY, "forward_voltage", state=kind)}
    yield Derivation(gives, assumed, taken, SHARE, route=Route.ASSUMED, note=f"{kind} rectifier")
    if diodes:
        needs = {"values": part_keys(diodes, "forward_voltage")}
        source = cite("algebra", "the higher of the diodes' drops", "C")
        yield Derivation(gives, needs, highest_of, source, note="of the part, at its test current")


def is_metal(material: str) -> bool:
    """Whether a case feels and radiates like metal."""
    return any(word in material.casefold() for word in ("metal", "alumin", "steel", "zinc"))


def counts(parts: Iterable[Part]) -> Array:
    """How many equal parts stand behind each, shape (k, 1)."""
    return np.array([[float(part.count)] for part in parts])


def taken(*, value: Array) -> Array:
    """A value that is taken as it is."""
    return value


def highest_of(*, values: Array) -> Array:
    """The highest of several parts, shape (draws,)."""
    return np.asarray(values.max(axis=0))


def share_of_inductance(*, share: Array, inductance: Array) -> Array:
    """H."""
    return share * inductance


def share_as_resistance(*, share: Array, power: float, current: float) -> Array:
    """Ω, with an RMS current in A."""
    return share * power / current**2


def in_parallel(*, values: Array, counts: Array) -> Array:
    """Ω; shape (draws,)."""
    return np.asarray(1 / (counts / values).sum(axis=0))


def sum_of(*, values: Array, counts: Array) -> Array:
    """Sum over parts, each as often as it is there."""
    return np.asarray((values * counts).sum(axis=0))
