"""The second route to the losses: frequency, losses and flux computed from the parts, beside what was measured.

For a unit with one transformer. What no marking tells is taken from the ranges of the trade, as draws of its own; the
model's own error per loss item is drawn too, so that the band of the sum is honest.
"""

from collections.abc import Iterator
from functools import partial
from typing import Any

import numpy as np

from partingline.calc.powerstage.budget import Parts, converter_losses, input_losses, mean_losses
from partingline.calc.powerstage.bulk_average import averaged, bulk_wave
from partingline.calc.powerstage.control import Controller, run
from partingline.calc.powerstage.cycle import Cycle
from partingline.calc.powerstage.modes import DISCONTINUOUS
from partingline.calc.powerstage.stage import Flyback
from partingline.facts.derivation import Derivation, Need
from partingline.facts.derivations.layout import INPUT, Layout, part_keys
from partingline.facts.derivations.trade import TradeDraws
from partingline.facts.draws import Array
from partingline.model import Key, Part
from partingline.sources import cite

PRIMARY, SECONDARY = "stage:primary", "stage:secondary"
SOURCE = cite("algebra", "closed-form cycle with leakage and clamp, averaged over the bulk ripple", "C")
FREQUENCY_LIMIT = 140e3
FREQUENCY_SPREAD = 0.02
LINE_ONLY = frozenset({"source_resistance", "discharge"})
"""Needs that only the losses before the bulk capacitor hang on."""
LARGEST_CLAMP = 1e-6
LIGHTEST = 0.2
"""Below this share of the load the controller folds back or bursts in ways that no marking tells."""
ITEMS = {
    "conduction_loss": (PRIMARY, ("switch conduction",)),
    "switching_loss": (PRIMARY, ("switch turn-on", "switch turn-off", "drain ring")),
    "clamp_loss": (PRIMARY, ("clamp", "leakage ring")),
    "core_loss": ("", ("core",)),
    "copper_loss": ("", ("primary copper", "secondary copper")),
}
"""Loss items as facts, of a stage or (empty) of the transformer: at full load and the lowest mains that was measured,
the hardest on them."""


def derive(layout: Layout) -> Iterator[Derivation]:
    """Computed losses and frequency at every measured load point of the highest power, and the flux."""
    transformers = layout.parts("transformer")
    if len(transformers) != 1 or layout.strongest_offer is None:
        return
    transformer = transformers[0]
    yield from _flux(layout, transformer)
    full = layout.strongest_offer[1] * layout.strongest_offer[2]
    for key in layout.with_quantity("input_power", "port:"):
        at = dict(key.at)
        if (
            set(at) == {"mains", "offer", "load"}
            and at["offer"] == layout.strongest_offer[1]
            and float(at["load"]) >= 0.2
        ):
            yield from _point(layout, transformer, key, full)


def _point(layout: Layout, transformer: Part, key: Key, full: float) -> Iterator[Derivation]:
    at = dict(key.at)
    needs, optional = point_needs(layout, transformer, key)
    shared = _Shared(partial(point_losses, counts=part_counts(layout)))
    fixed = {"mains_voltage": float(at["mains"]), "full_power": full, "highest": highest_frequency(layout)}

    inner = {name: need for name, need in needs.items() if name not in LINE_ONLY}

    def way(gives: Key, compute: Any, note: str = "") -> Derivation:
        return Derivation(gives, inner, compute, SOURCE, fixed, optional=optional, note=note)

    total = Key.of(key.subject, "computed_loss", **at)
    sum_of_all, note = shared.of("total", "loss of the parts"), "ranges of the trade where no part tells"
    yield Derivation(total, needs, sum_of_all, SOURCE, fixed, optional=optional, note=note)
    measured = {"measured": Key.of(key.subject, "loss", **at), "computed": total}
    source = cite("algebra", "difference of two routes", "C")
    yield Derivation(Key.of(key.subject, "residual_loss", **at), measured, measured_less_computed, source)
    if at["load"] != 1.0 or layout.strongest_offer is None or (key.subject, at["offer"]) != layout.strongest_offer[:2]:
        return
    frequency = shared.of("frequency", "switching frequency of the parts")
    yield way(Key.of(PRIMARY, "switching_frequency", **at), frequency, "mean over the bulk ripple")
    lowest = min(k.number("mains") for k in layout.with_quantity("input_power", key.subject) if _alike(k, key))
    if at["mains"] != lowest:
        return
    for quantity, (subject, names) in ITEMS.items():
        picked = shared.of(names, f"{quantity.replace('_', ' ')} of the parts")
        yield way(Key.of(subject or transformer.subject, quantity, **at), picked)


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
        "turns_ratio": Key.of(transformer.subject, "turns_ratio"),
        "magnetising_inductance": Key.of(transformer.subject, "magnetising_inductance"),
        "drain_capacitance": Key.of(PRIMARY, "drain_capacitance"),
        "bulk_capacitance": Key.of(INPUT, "bulk_capacitance"),
        "bridge_drop": Key.of(INPUT, "bridge_drop"),
        "source_resistance": Key.of(INPUT, "source_resistance"),
        "switch": part_keys(layout.parts("primary_switch"), "on_resistance"),
        "rectifier": part_keys(layout.parts("rectifier"), "on_resistance"),
        "rectifier_drop": Key.of(SECONDARY, "forward_voltage"),
    }
    clamp = layout.parts("clamp")
    several = {
        "sense": part_keys(layout.parts("primary_sense"), "resistance"),
        "clamp_resistors": part_keys((part for part in clamp if part.kind == "resistor"), "resistance"),
        "clamp_capacitors": part_keys((part for part in clamp if part.kind == "capacitor"), "capacitance"),
        "esr": part_keys(layout.parts("output_capacitor"), "equivalent_series_resistance"),
        "switches": part_keys(layout.parts("output_switch"), "on_resistance"),
    }
    needs |= {name: keys for name, keys in several.items() if keys}
    needs["discharge"] = Key.of(INPUT, "discharge_resistance")
    return needs, frozenset({*several, "discharge"})


def part_counts(layout: Layout) -> dict[str, Array]:
    """How many equal parts stand behind each resistor, capacitor or transistor."""
    clamp = layout.parts("clamp")
    groups = {
        "clamp_resistors": [part for part in clamp if part.kind == "resistor"],
        "clamp_capacitors": [part for part in clamp if part.kind == "capacitor"],
        "esr": layout.parts("output_capacitor"),
        "switch": layout.parts("primary_switch"),
        "rectifier": layout.parts("rectifier"),
        "sense": layout.parts("primary_sense"),
    }
    return {name: np.array([[float(part.count)] for part in parts]) for name, parts in groups.items()}


def highest_frequency(layout: Layout) -> float:
    """The highest frequency that was measured, or 140 kHz: designs keep below 150 kHz, where emission limits begin."""
    seen = [layout.number(key) for key in layout.with_quantity("switching_frequency", PRIMARY)]
    return max((f for f in seen if f), default=FREQUENCY_LIMIT)


class _Shared:
    """One computation for the several facts of one load point."""

    def __init__(self, compute: Any) -> None:
        self._compute = compute
        self._seen: tuple[Any, dict[str, Array]] | None = None

    def of(self, names: str | tuple[str, ...], called: str) -> Any:
        """A function that gives the sum of some results; its name is what the fact is said to come from."""

        def picked(**arguments: Any) -> Array:
            if self._seen is None or not _same(self._seen[0], arguments):
                self._seen = arguments, self._compute(**arguments)
            found = self._seen[1]
            wanted = (names,) if isinstance(names, str) else names
            return np.asarray(sum(found[name] for name in wanted))

        picked.__name__ = called
        return picked


def _same(ours: dict[str, Any], theirs: dict[str, Any]) -> bool:
    """Whether the inputs are those of the last computation: the very draws, and equal numbers."""
    if ours.keys() != theirs.keys():
        return False
    pairs = ((one, theirs[name]) for name, one in ours.items())
    return all(one is other or (np.ndim(one) != 1 and np.array_equal(one, other)) for one, other in pairs)


def point_losses(
    *, input_power: Array, output_power: Array, port_voltage: Array, turns_ratio: Array, magnetising_inductance: Array,
    drain_capacitance: Array, bulk_capacitance: Array, bridge_drop: Array, switch: Array,
    rectifier: Array, rectifier_drop: Array, mains_voltage: float, full_power: float, highest: float,
    counts: dict[str, Array], sense: Array | None = None, clamp_resistors: Array | None = None,
    clamp_capacitors: Array | None = None, esr: Array | None = None, switches: Array | None = None,
    discharge: Array | None = None, source_resistance: Array | float = 0.0,
) -> dict[str, Array]:  # fmt: skip
    """Every loss item in W, their total, the frequency in Hz and the currents in A; shape (draws,).

    Peaks and the drain voltage in V are the highest over the bulk ripple, other currents RMS over it.
    """
    drawn = TradeDraws(len(input_power))
    load = output_power / port_voltage
    hot = drawn.around("hot")
    full_load = full_power / port_voltage
    primary = full_power / 60.0
    sensed = _parallel(sense, counts.get("sense"), 0.0)
    stage = Flyback(
        turns_ratio=turns_ratio, magnetising_inductance=magnetising_inductance,
        leakage_inductance=drawn.around("leakage") * magnetising_inductance, drain_capacitance=drain_capacitance,
        switch_resistance=_parallel(switch, counts["switch"], 0.0) * hot + sensed,
        primary_winding_resistance=drawn.around("primary winding") * full_power / primary**2 * 2.0,
        secondary_winding_resistance=drawn.around("secondary winding") * full_power / (1.5 * full_load) ** 2,
        rectifier_resistance=_parallel(rectifier, counts["rectifier"], 0.0) * hot, rectifier_drop=0.2 * rectifier_drop,
        output_esr=_parallel(esr, counts["esr"], drawn.around("esr")),
        clamp_resistance=_parallel(clamp_resistors, counts["clamp_resistors"], 50e3),
        clamp_capacitance=_sum(clamp_capacitors, counts["clamp_capacitors"], 1e-9),
        ring_quality=drawn.around("ring quality"),
    )  # fmt: skip
    path = drawn.around("path") + (0.0 if switches is None else switches.sum(axis=0) / len(switches))
    parts = Parts(
        bridge_drop=bridge_drop, line_resistance=source_resistance, bulk_esr=0.3, output_path_resistance=path,
        discharge_resistance=np.inf if discharge is None else discharge, rectifier_delay=60e-9, fall_time=5e-9,
        controller_power=drawn.around("fixed") * full_power,
    )  # fmt: skip
    wave = bulk_wave(
        power=0.985 * input_power, capacitance=bulk_capacitance, mains_voltage=mains_voltage,
        mains_frequency=60.0 if mains_voltage < 160 else 50.0, bridge_drop=bridge_drop,
    )  # fmt: skip
    rail = port_voltage + path * load
    control = Controller(highest_frequency=highest)
    cycle = run(stage, control, bulk_voltage=wave.voltages, output_voltage=rail, output_current=load, rounds=4)
    items = converter_losses(stage, parts, cycle, wave.voltages, rail, load)
    clocked = np.asarray(cycle.mode) == DISCONTINUOUS
    items["switch turn-on"] = items["switch turn-on"] * np.where(clocked, drawn.around("clocked turn-on"), 1.0)
    items["core"] = _core(drawn, full_power, cycle.frequency, cycle.peak_current)
    means = mean_losses(items, wave, input_losses(parts, wave, mains_voltage))
    means = {name: values * drawn.error(name) for name, values in means.items()}
    frequency = averaged(np.asarray(cycle.frequency), wave.weights) * drawn.spread("frequency", FREQUENCY_SPREAD)
    told = {"total": np.asarray(sum(means.values())), "frequency": frequency}
    return means | told | _currents(cycle, wave.weights)


def _currents(cycle: Cycle, weights: Array) -> dict[str, Array]:
    """The highest peaks over the bulk ripple, and RMS values over it."""
    peaks = {"peak current": cycle.peak_current, "secondary peak current": cycle.secondary_peak_current}
    squares = {
        "switch current": cycle.switch_current, "primary current": cycle.winding_current,
        "secondary current": cycle.secondary_current,
    }  # fmt: skip
    told = {name: np.asarray(values).max(axis=0) for name, values in peaks.items()}
    told |= {name: np.sqrt(averaged(np.asarray(values) ** 2, weights)) for name, values in squares.items()}
    return told | {"drain voltage": np.asarray(cycle.drain_peak_voltage).max(axis=0)}


def _core(drawn: TradeDraws, full_power: float, frequency: Any, peak: Any) -> Array:
    """A core loss of a share of the full power at 100 kHz and the peak current of full load, by Steinmetz exponents."""
    usual = full_power / 29.0
    shape = (np.asarray(frequency) / 1e5) ** 1.4 * (np.asarray(peak) / usual) ** 2.5
    return np.asarray(drawn.around("core") * full_power * shape)


def _parallel(values: Array | None, counts: Array | None, otherwise: Any) -> Any:
    """Resistances in parallel, each as often as it is there."""
    if values is None or counts is None or not len(counts):
        return otherwise
    return 1 / (counts / values).sum(axis=0)


def _sum(values: Array | None, counts: Array, otherwise: float) -> Any:
    """Clamp capacitances in parallel, each as often as it is there; what is above a microfarad is some other part."""
    if values is None or not len(counts):
        return otherwise
    total = np.where(values < LARGEST_CLAMP, counts * values, 0.0).sum(axis=0)
    return np.where(total > 0, total, otherwise)


def measured_less_computed(*, measured: Array, computed: Array) -> Array:
    """W."""
    return measured - computed


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
