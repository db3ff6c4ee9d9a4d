"""The second route to the losses: frequency, losses and flux computed from the parts, beside what was measured.

For a unit with one transformer. What no part tells comes from the ranges of the trade, and the model's own error of a
loss item is a fact as well, so that the band of the sum is honest and each cause of it can be named.
"""

from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np

from partingline.calc.powerstage.budget import ITEMS as LOSSES
from partingline.facts.derivation import Derivation, Need, NoNumberError
from partingline.facts.derivations.layout import INPUT, Layout, part_keys
from partingline.facts.derivations.load_point import (
    LoadPoint,
    currents_of,
    factor_name,
    load_point,
    losses_of,
    why_no_number,
)
from partingline.facts.derivations.mode import circuit, clock, slope_compensated
from partingline.facts.derivations.trade import MODEL_FACTORS, counts, model_factor
from partingline.facts.draws import Array
from partingline.model import Key, Part
from partingline.sources import cite

PRIMARY, SECONDARY = "stage:primary", "stage:secondary"
SOURCE = cite("algebra", "closed-form cycle with leakage and clamp, averaged over the bulk ripple", "C")
FREQUENCY_LIMIT = 140e3
LIGHTEST = 0.2
"""Below this share of the load the controller folds back or bursts in ways that no marking tells."""
MOVES = {
    "source_resistance": "inrush limiter and filter", "discharge": "discharge resistors", "core_share": "core",
    "fixed_share": "controllers", "clocked_turn_on": "switch turn-on", "bulk_esr": "bulk capacitors",
    "fall_time": "switch turn-off", "rectifier_delay": "rectifier switching", "factor_frequency": "frequency",
    **{factor_name(item): item for item in MODEL_FACTORS},
}  # fmt: skip
"""The one result that a need moves; all other needs move the cycle, and with it everything."""
ITEMS = {
    "conduction_loss": (PRIMARY, ("switch conduction",)),
    "switching_loss": (PRIMARY, ("switch turn-on", "switch turn-off", "drain ring")),
    "clamp_loss": (PRIMARY, ("clamp", "leakage ring")),
    "rectifier_loss": (SECONDARY, ("rectifier conduction", "rectifier switching")),
    "core_loss": ("", ("core",)),
    "copper_loss": ("", ("primary copper", "secondary copper")),
}
"""Loss items as facts, of a stage or (empty) of the transformer: at full load and the lowest mains that was measured,
the hardest on them."""
STAGES = {
    PRIMARY: {
        "drain_capacitance": "drain_capacitance", "clamp_resistance": "clamp_resistance",
        "clamp_capacitance": "clamp_capacitance", "ring_quality": "ring_quality",
        "switch_heat": "hot_resistance_ratio", "core_share": "core_loss_share", "fixed_share": "fixed_loss_share",
        "clocked_turn_on": "clocked_turn_on_share", "fall_time": "fall_time",
        "lowest_peak_share": "lowest_peak_share",
    },
    SECONDARY: {
        "rectifier_drop": "forward_voltage", "rectifier_heat": "hot_resistance_ratio",
        "esr": "equivalent_series_resistance", "rectifier_delay": "rectifier_delay",
    },
    INPUT: {
        "bulk_capacitance": "bulk_capacitance", "bridge_drop": "bridge_drop", "source_resistance": "source_resistance",
        "bulk_esr": "equivalent_series_resistance", "discharge": "discharge_resistance",
    },
    "stage:output": {"path": "path_resistance"},
}  # fmt: skip
TRANSFORMER = {
    "turns_ratio": "turns_ratio", "magnetising_inductance": "magnetising_inductance",
    "leakage_inductance": "leakage_inductance", "primary_winding": "primary_winding_resistance",
    "secondary_winding": "secondary_winding_resistance",
}  # fmt: skip
"""Arguments and quantities of the stages, and of the transformer."""


def derive(layout: Layout) -> Iterator[Derivation]:
    """Computed losses at every measured load point of the ports that the flyback feeds straight, frequency and loss
    items at full load, and the flux."""
    transformers = layout.parts("transformer")
    if len(transformers) != 1 or layout.strongest_offer is None or not circuit(layout).endswith("flyback"):
        return
    transformer = transformers[0]
    yield from _flux(layout, transformer)
    if layout.parts("pfc_inductor"):
        return  # the load point's bulk wave is that of a bridge on a capacitor
    full = layout.strongest_offer[1] * layout.strongest_offer[2]
    for key in layout.with_quantity("input_power", "port:"):
        straight = Key.of(f"stage:buck-{key.subject.removeprefix('port:')}", "circuit") not in layout.keys
        if straight and {name for name, _ in key.at} == {"mains", "offer", "load"}:
            yield from _point(layout, transformer, key, full)


def _point(layout: Layout, transformer: Part, key: Key, full: float) -> Iterator[Derivation]:
    at = dict(key.at)
    needs, optional = point_needs(layout, transformer, key)
    shared = _Shared()
    fixed = {
        "mains_voltage": float(at["mains"]), "full_power": full, "highest": highest_frequency(layout),
        "counts": part_counts(layout), "clock": clock(layout),
        "slope_compensated": slope_compensated(layout),
    }  # fmt: skip

    def way(gives: Key, names: Iterable[str], called: str, note: str = "") -> Derivation:
        wanted = tuple(names)
        inner = {name: need for name, need in needs.items() if MOVES.get(name, "") in ("", *wanted)}
        return Derivation(gives, inner, shared.of(wanted, called), SOURCE, fixed, optional=optional, note=note)

    total = Key.of(key.subject, "computed_loss", **at)
    yield way(total, LOSSES, "loss of the parts", "ranges of the trade where no part tells")
    measured = {"measured": Key.of(key.subject, "loss", **at), "computed": total}
    source = cite("algebra", "difference of two routes", "C")
    yield Derivation(Key.of(key.subject, "residual_loss", **at), measured, measured_less_computed, source)
    if key.number("load") >= LIGHTEST:
        yield Derivation(
            Key.of(key.subject, "efficiency", **at), {"output": needs["output_power"], "loss": total},
            efficiency_by_the_parts, SOURCE, note="output over output and the losses of the parts",
        )  # fmt: skip
    if at["load"] != 1.0 or layout.strongest_offer is None or (key.subject, at["offer"]) != layout.strongest_offer[:2]:
        return
    frequency = Key.of(PRIMARY, "switching_frequency", **at)
    yield way(frequency, ("frequency",), "switching frequency of the parts", "mean over the bulk ripple")
    lowest = min(k.number("mains") for k in layout.with_quantity("input_power", key.subject) if _alike(k, key))
    if at["mains"] != lowest:
        return
    for quantity, (subject, names) in ITEMS.items():
        called = f"{quantity.replace('_', ' ')} of the parts"
        yield way(Key.of(subject or transformer.subject, quantity, **at), names, called)


def _alike(one: Key, other: Key) -> bool:
    """Whether two load points differ in the mains alone."""
    ours, theirs = ({k: v for k, v in key.at if k != "mains"} for key in (one, other))
    return one.subject == other.subject and ours == theirs and "mains" in dict(one.at)


def point_needs(layout: Layout, transformer: Part, key: Key) -> tuple[dict[str, Need], frozenset[str]]:
    """What the losses at a load point hang on, by argument of `point_losses`, and which of it may be absent."""
    needs: dict[str, Need] = {
        "input_power": key,
        "output_power": Key.of(key.subject, "output_power", **dict(key.at)),
        "port_voltage": Key.of(key.subject, "port_voltage", **dict(key.at)),
        "switch": part_keys(layout.parts("primary_switch"), "on_resistance"),
    }
    for subject, quantities in {**STAGES, transformer.subject: TRANSFORMER}.items():
        needs |= {name: Key.of(subject, quantity) for name, quantity in quantities.items()}
    if layout.rectifying_diodes:
        needs = {name: need for name, need in needs.items() if name not in ("rectifier_heat", "rectifier_delay")}
    else:
        needs["rectifier"] = part_keys(layout.parts("rectifier"), "on_resistance")
    if zener := zener_clamp(layout):
        needs = {name: need for name, need in needs.items() if name not in ("clamp_resistance", "clamp_capacitance")}
        needs["clamp_level"] = Key.of(zener.subject, "breakdown_voltage")
    several = {
        "sense": part_keys(layout.parts("primary_sense"), "resistance"),
        "switches": part_keys(layout.parts("output_switch"), "on_resistance"),
    }
    needs |= {name: keys for name, keys in several.items() if keys}
    needs |= {factor_name(item): model_factor(item) for item in (*MODEL_FACTORS, "frequency")}
    needs["light_load"] = model_factor("light load")
    return needs, frozenset({*several, "discharge"})


def zener_clamp(layout: Layout) -> Part | None:
    """A zener or transient suppressor that clamps by itself: a diode whose breakdown voltage is told, no resistor."""
    clamps = layout.parts("clamp")
    if any(part.kind == "resistor" for part in clamps):
        return None
    told = (part for part in clamps if Key.of(part.subject, "breakdown_voltage") in layout.keys)
    return next((part for part in told if part.kind == "diode"), None)


def part_counts(layout: Layout) -> dict[str, Array]:
    """How many equal parts stand behind each transistor or resistor."""
    roles = {"switch": "primary_switch", "rectifier": "rectifier", "sense": "primary_sense"}
    return {name: counts(layout.parts(role)) for name, role in roles.items()}


def highest_frequency(layout: Layout) -> float:
    """The highest frequency that was measured, or 140 kHz: designs keep below 150 kHz, where emission limits begin."""
    seen = [layout.number(key) for key in layout.with_quantity("switching_frequency", PRIMARY)]
    return max((f for f in seen if f), default=FREQUENCY_LIMIT)


def point_losses(**arguments: Any) -> dict[str, Array]:
    """Every loss item in W, their total, the frequency in Hz and the currents in A; shape (draws,).

    Takes the needs of `point_needs` and `mains_voltage`, `full_power`, `highest`, `counts`. Peaks and the drain
    voltage in V are the highest over the bulk ripple, other currents RMS over it.
    """
    scaling = {name: value for name, value in arguments.items() if name in MOVES}
    point = load_point(**{name: value for name, value in arguments.items() if name not in MOVES})
    return _results(point, scaling)


def _results(point: LoadPoint, scaling: dict[str, Any]) -> dict[str, Array]:
    error = scaling.get("factor_frequency", 1.0)
    losses, currents = losses_of(point, **scaling), currents_of(point)
    frequency = {"frequency": currents["frequency"] * error}
    return losses | {"total": np.asarray(sum(losses.values()))} | currents | frequency


class _Shared:
    """One cycle for the several facts of a load point."""

    def __init__(self) -> None:
        self._seen: tuple[dict[str, Any], LoadPoint] | None = None

    def of(self, names: tuple[str, ...], called: str) -> Any:
        """A function that gives the sum of some results; its name is what the fact is said to come from.

        Its `identity` is all that it hangs on beside its arguments, so that a memory knows it again.
        """

        def picked(**arguments: Any) -> Array:
            scaling = {name: value for name, value in arguments.items() if name in MOVES}
            moving = {name: value for name, value in arguments.items() if name not in MOVES}
            if self._seen is None or not _same(self._seen[0], moving):
                self._seen = moving, load_point(**moving)
            if why := why_no_number(self._seen[1]):
                raise NoNumberError(why)
            found = _results(self._seen[1], scaling)
            return np.asarray(sum(found[name] for name in names))

        picked.__name__ = called
        picked.identity = (load_point, names)  # type: ignore[attr-defined]
        return picked


def _same(ours: dict[str, Any], theirs: dict[str, Any]) -> bool:
    """Whether the inputs are those of the last computation: the very draws, and equal numbers."""
    if ours.keys() != theirs.keys():
        return False
    pairs = ((one, theirs[name]) for name, one in ours.items())
    return all(one is other or (np.ndim(one) != 1 and np.array_equal(one, other)) for one, other in pairs)


def measured_less_computed(*, measured: Array, computed: Array) -> Array:
    """W."""
    return measured - computed


def efficiency_by_the_parts(*, output: Array, loss: Array) -> Array:
    """Output over what the parts lose on the way to it."""
    return output / (output + loss)


def _flux(layout: Layout, transformer: Part) -> Iterator[Derivation]:
    from partingline.calc.magnetics import peak_flux_density

    low = layout.lowest_mains
    assert layout.strongest_offer is not None
    needs: dict[str, Need] = {
        "inductance": Key.of(transformer.subject, "magnetising_inductance"),
        "peak_current": Key.of(PRIMARY, "peak_current", mains=low, offer=layout.strongest_offer[1]),
        "turns": Key.of(transformer.subject, "primary_turns"),
        "core_area": Key.of(transformer.subject, "core_area"),
    }
    gives = Key.of(transformer.subject, "flux_density", mains=low, offer=layout.strongest_offer[1])
    yield Derivation(gives, needs, peak_flux_density, peak_flux_density.source, note="at full load and the bulk valley")
