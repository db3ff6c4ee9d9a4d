"""What a transformer's make tells: copper by layers and harmonics, core loss of its flux; clamps, and light load."""

from collections.abc import Iterator

import numpy as np

from partingline.calc import flyback, magnetics
from partingline.calc.powerstage import active_clamp, burst, copper
from partingline.facts.derivation import Derivation, Need
from partingline.facts.derivations.converter import PRIMARY, SECONDARY
from partingline.facts.derivations.layout import INPUT, Layout
from partingline.facts.derivations.mode import circuit, clock
from partingline.facts.draws import Array
from partingline.model import Key, Part
from partingline.sources import cite

HOT = 80.0
"""degC of the copper, where nothing was read; 20 K move its resistance by 8 %."""
FREQUENCY, SHARE, EDGE = 100e3, 0.4, 0.02
"""Hz, and the shares of the period in which the current rises and falls: the factor hangs little on them."""
POROSITY = 0.8
ALPHA, BETA, AT_FREQUENCY, AT_FLUX = 1.4, 2.5, 100e3, 0.2
"""Exponents of power ferrites of the trade, about the point at which makers tell the loss."""
COPPER = cite("from-memory", "Dowell 1966, over the harmonics of a triangle", "M")


def derive(layout: Layout) -> Iterator[Derivation]:
    """Of the one transformer, at the strongest offer; what hangs on the cycle for a flyback that seeks valleys."""
    transformers, offer = layout.parts("transformer"), layout.strongest_offer
    if len(transformers) != 1 or offer is None:
        return
    yield from _windings(transformers[0])
    if not circuit(layout).endswith("flyback") or np.isfinite(clock(layout)):
        return
    yield from _core(layout, transformers[0], offer[1], offer[2])
    yield from _clamps(layout, transformers[0], offer[1])
    yield _light(layout, transformers[0], offer[1])


def _windings(part: Part) -> Iterator[Derivation]:
    """Resistances at the frequency of the current, from wire, layers and mean turn."""
    for side in ("primary", "secondary"):
        needs: dict[str, Need] = {
            "turns": Key.of(part.subject, "primary_turns"), "mean_turn": Key.of(part.subject, "mean_turn"),
            "diameter": Key.of(part.subject, f"{side}_wire_diameter"), "wires": Key.of(part.subject, f"{side}_wires"),
            "layers": Key.of(part.subject, f"{side}_layers"),
        }  # fmt: skip
        if side == "secondary":
            needs["turns_ratio"] = Key.of(part.subject, "turns_ratio")
        gives = Key.of(part.subject, f"{side}_winding_resistance")
        yield Derivation(
            gives, needs, winding_resistance, COPPER, optional=frozenset({"turns_ratio"}),
            note=f"copper at {HOT:g} °C, triangles at {FREQUENCY / 1e3:g} kHz; the gap's fringing left out",
        )  # fmt: skip


def winding_resistance(
    *, turns: Array, mean_turn: Array, diameter: Array, wires: Array, layers: Array, turns_ratio: Array | None = None
) -> Array:
    """Ω, as the RMS current sees it; a round wire counts as a square of its area."""
    count = turns if turns_ratio is None else turns / turns_ratio
    resistivity = copper.RESISTIVITY * (1 + copper.TEMPERATURE * (HOT - 20.0))
    direct = resistivity * count * mean_turn / (wires * np.pi / 4 * diameter**2)
    factor = copper.waveform_factor(
        share=SHARE + 0 * count, edge_share=EDGE + 0 * count, frequency=FREQUENCY + 0 * count,
        thickness=0.886 * diameter, layers=layers, porosity=POROSITY, temperature=HOT,
    )  # fmt: skip
    return np.asarray(direct * factor)


def _core(layout: Layout, part: Part, volts: float, amps: float) -> Iterator[Derivation]:
    """Core loss of the flux of full load, at the lowest mains and at those at which full load was measured."""
    measured = {
        key.number("mains")
        for key in layout.with_quantity("input_power", "port:")
        if isinstance(key.condition("mains"), float) and key.condition("load") == 1.0
    }
    for mains in sorted({layout.lowest_mains, *(one for one in measured if one in (115.0, 230.0))}):
        needs: dict[str, Need] = {
            "bulk_voltage": Key.of(INPUT, "valley_voltage", mains=mains),
            "turns_ratio": Key.of(part.subject, "turns_ratio"),
            "magnetising_inductance": Key.of(part.subject, "magnetising_inductance"),
            "drain_capacitance": Key.of(PRIMARY, "drain_capacitance"),
            "rectifier_drop": Key.of(SECONDARY, "forward_voltage"),
            "turns": Key.of(part.subject, "primary_turns"), "area": Key.of(part.subject, "core_area"),
            "volume": Key.of(part.subject, "core_volume"), "density": Key.of(part.subject, "core_loss_density"),
        }  # fmt: skip
        at = {"mains": mains, "offer": volts, "load": 1.0}
        yield Derivation(
            Key.of(part.subject, "core_loss", **at), needs, core_loss, magnetics.flyback_core_loss.source,
            {"output_voltage": volts, "output_current": amps}, note="by its flux, at the bulk valley, lossless cycle",
        )  # fmt: skip


def core_loss(
    *, bulk_voltage: Array, turns_ratio: Array, magnetising_inductance: Array, drain_capacitance: Array,
    rectifier_drop: Array, turns: Array, area: Array, volume: Array, density: Array, output_voltage: float,
    output_current: float,
) -> Array:  # fmt: skip
    """W; the loss per volume that the maker tells at one point, by Steinmetz exponents at the flux of the cycle."""
    cycle = flyback.quasi_resonant_cycle(
        bulk_voltage=bulk_voltage, turns_ratio=turns_ratio, magnetising_inductance=magnetising_inductance,
        drain_capacitance=drain_capacitance, rectifier_drop=rectifier_drop, output_voltage=output_voltage,
        output_current=output_current,
    )  # fmt: skip
    lost = magnetics.flyback_core_loss(
        coefficient=density / (AT_FREQUENCY**ALPHA * AT_FLUX**BETA), alpha=ALPHA, beta=BETA,
        flux_swing=magnetising_inductance * cycle.peak_current / (turns * area), on_time=cycle.on_time,
        demagnetisation_time=cycle.demagnetisation_time, frequency=cycle.frequency,
    )  # fmt: skip
    return np.asarray(lost * volume)


def _clamps(layout: Layout, part: Part, volts: float) -> Iterator[Derivation]:
    """A zener's overshoot, and the bounds of an active clamp."""
    reflected = Key.of(PRIMARY, "reflected_voltage", offer=volts)
    clamps = layout.parts("clamp")
    for diode in (one for one in clamps if one.kind == "diode"):
        needs: dict[str, Need] = {"breakdown": Key.of(diode.subject, "breakdown_voltage"), "reflected": reflected}
        source = cite("algebra", "breakdown voltage less the reflected voltage", "C")
        yield Derivation(Key.of(PRIMARY, "clamp_voltage"), needs, overshoot, source, note=f"{diode.ref} as a zener")
    capacitors = [one for one in clamps if one.kind == "capacitor"]
    if not capacitors or all(one.kind != "transistor" for one in clamps):
        return
    low = {"mains": layout.lowest_mains, "offer": volts}
    bounds = active_clamp.active_clamp_bounds
    within: dict[str, Need] = {
        "bulk_voltage": Key.of(INPUT, "peak_bulk_voltage", mains=layout.highest_mains), "reflected_voltage": reflected,
        "leakage_inductance": Key.of(part.subject, "leakage_inductance"),
        "clamp_capacitance": Key.of(capacitors[0].subject, "capacitance"),
        "peak_current": Key.of(PRIMARY, "peak_current", **low),
    }  # fmt: skip
    for quantity, field in (("least_clamp_loss", "least_loss"), ("most_clamp_loss", "most_loss")):
        gives = Key.of(PRIMARY, quantity, **low)
        yield Derivation(gives, within, bounds, bounds.source, {"frequency": FREQUENCY}, pick=field)


def overshoot(*, breakdown: Array, reflected: Array) -> Array:
    """V above the plateau; none where the zener breaks below it."""
    return np.maximum(breakdown - reflected, 0.0)


def _light(layout: Layout, part: Part, volts: float) -> Derivation:
    """The load below which a valley cannot go at the highest mains."""
    least = burst.least_load
    needs: dict[str, Need] = {
        "bulk_voltage": Key.of(INPUT, "peak_bulk_voltage", mains=layout.highest_mains),
        "reflected_voltage": Key.of(PRIMARY, "reflected_voltage", offer=volts),
        "drain_capacitance": Key.of(PRIMARY, "drain_capacitance"),
        "inductance": Key.of(part.subject, "magnetising_inductance"),
        "turns_ratio": Key.of(part.subject, "turns_ratio"),
    }  # fmt: skip
    gives = Key.of(PRIMARY, "least_load", mains=layout.highest_mains, offer=volts)
    return Derivation(gives, needs, least, least.source, note="first valley: below it valleys or cycles are left out")
