"""What the flyback does to its parts: reflected and peak voltages, currents, and the loss in the output switch."""

import math
import re
from collections.abc import Callable, Iterator
from typing import Any

from partingline.calc import flyback, flyback_design, losses, output
from partingline.facts.derivation import Derivation
from partingline.facts.derivations.clocked import clocked_cycle
from partingline.facts.derivations.layout import INPUT, Layout
from partingline.facts.derivations.mode import circuit, clock, slope_compensated
from partingline.model import Key, Part

PRIMARY, SECONDARY = "stage:primary", "stage:secondary"


def derive(layout: Layout) -> Iterator[Derivation]:
    """Stresses of a flyback stage, where there is a transformer, and the switch loss of each port."""
    transformer = next(iter(layout.parts("transformer")), None)
    strongest = layout.strongest_offer
    if transformer is not None and strongest is not None and circuit(layout).endswith("flyback"):
        yield from _voltages(layout, transformer, strongest[1])
        yield from _currents(layout, transformer, strongest[1], strongest[2])
    yield from _output_switches(layout)


def _voltages(layout: Layout, transformer: Part, offer: float) -> Iterator[Derivation]:
    high = layout.highest_mains
    bulk = Key.of(INPUT, "peak_bulk_voltage", mains=high)
    ratio = Key.of(transformer.subject, "turns_ratio")
    reflected = Key.of(PRIMARY, "reflected_voltage", offer=offer)
    fixed = {"output_voltage": offer}
    drop = Key.of(SECONDARY, "forward_voltage")
    reflect, switch, rectifier = (
        flyback_design.reflected_voltage,
        flyback_design.switch_voltage,
        flyback_design.rectifier_voltage,
    )
    yield Derivation(reflected, {"turns_ratio": ratio, "rectifier_drop": drop}, reflect, reflect.source, fixed)
    yield Derivation(
        Key.of(PRIMARY, "switch_voltage", mains=high, offer=offer),
        {"bulk_voltage": bulk, "reflected_voltage": reflected, "overshoot": Key.of(PRIMARY, "clamp_voltage")},
        switch,
        switch.source,
    )
    yield Derivation(
        Key.of(SECONDARY, "rectifier_voltage", mains=high, offer=offer),
        {
            "bulk_voltage": bulk,
            "turns_ratio": ratio,
            "overshoot_share": Key.of(SECONDARY, "rectifier_overshoot"),
        },
        rectifier,
        rectifier.source,
        fixed,
    )


def _currents(layout: Layout, transformer: Part, offer: float, current: float) -> Iterator[Derivation]:
    low = layout.lowest_mains
    cycle = flyback.quasi_resonant_cycle
    needs = {
        "bulk_voltage": Key.of(INPUT, "valley_voltage", mains=low),
        "turns_ratio": Key.of(transformer.subject, "turns_ratio"),
        "magnetising_inductance": Key.of(transformer.subject, "magnetising_inductance"),
        "drain_capacitance": Key.of(PRIMARY, "drain_capacitance"),
        "rectifier_drop": Key.of(SECONDARY, "forward_voltage"),
    }
    fixed: dict[str, Any] = {"output_voltage": offer, "output_current": current}
    compute: Callable[..., Any] = cycle
    note = "lossless, first valley, at the bulk valley of the lowest mains"
    if math.isfinite(frequency := clock(layout)):
        del needs["drain_capacitance"]
        fixed |= {"frequency": frequency, "slope_compensated": slope_compensated(layout)}
        compute = clocked_cycle
        note = f"lossless, on a clock of {frequency / 1e3:.0f} kHz, at the bulk valley"
    for subject, quantity, field in (
        (PRIMARY, "peak_current", "peak_current"),
        (PRIMARY, "primary_current", "primary_current"),
        (SECONDARY, "secondary_current", "secondary_current"),
    ):
        yield Derivation(
            Key.of(subject, quantity, mains=low, offer=offer), needs, compute, cycle.source, fixed, pick=field,
            note=note,
        )  # fmt: skip
    ripple = output.alternating_part
    needs = {"total_current": Key.of(SECONDARY, "secondary_current", mains=low, offer=offer)}
    yield Derivation(
        Key.of(SECONDARY, "output_ripple_current", mains=low, offer=offer),
        needs,
        ripple,
        ripple.source,
        {"mean_current": current},
    )


def _output_switches(layout: Layout) -> Iterator[Derivation]:
    """Back-to-back transistors carry the port's current in series; parts without a stage name serve every port."""
    loss = losses.output_switch_loss
    for port in layout.unit.ports:
        chosen = [part for part in layout.parts("output_switch") if _serves(part, port.id, layout)]
        fixed_offers = [offer for offer in port.offers if offer.kind == "fixed" and offer.current]
        if not chosen or not fixed_offers:
            continue
        strongest = max(fixed_offers, key=lambda offer: offer.current or 0.0)
        part = chosen[0]
        yield Derivation(
            Key.of(port.subject, "switch_loss", offer=strongest.voltage),
            {"on_resistance": Key.of(part.subject, "on_resistance")},
            loss,
            loss.source,
            {"current": strongest.current, "transistors": float(sum(p.count for p in chosen))},
            note=f"{', '.join(p.ref for p in chosen)} in series at {strongest.current:g} A",
        )


def _serves(part: Part, port: str, layout: Layout) -> bool:
    words = set(re.split(r"\W+", f"{part.stage} {part.note} {part.board}".casefold()))
    named = [p.id for p in layout.unit.ports if p.id.casefold() in words]
    return port in named or not named
