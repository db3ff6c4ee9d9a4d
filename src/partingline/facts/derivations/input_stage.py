"""From the mains to the bulk capacitor: what the input stage draws, holds and stores."""

from collections.abc import Iterator

import numpy as np

from partingline.calc import capacitors, losses, mains, supply
from partingline.facts.derivation import Derivation
from partingline.facts.derivations.layout import INPUT, Layout, part_keys
from partingline.facts.draws import Array
from partingline.model import Key, Part, Route
from partingline.sources import cite

CYCLE = {
    "valley_voltage": "valley_voltage",
    "conduction_angle": "conduction_angle",
    "line_peak_current": "line_peak_current",
    "line_current": "line_current",
    "bridge_current": "bridge_current",
    "bulk_ripple_current": "capacitor_current",
}
PARALLEL = cite("algebra", "parallel capacitances add", "C")
SERIES = cite("algebra", "series resistances add", "C")
HOLD_UP_MAINS = (115.0, 230.0)


def derive(layout: Layout) -> Iterator[Derivation]:
    """The bulk cycle at the lowest mains, the highest voltage and the energy at the highest, hold-up and inrush.

    Where a boost stage stands in front, `stage_pfc` tells what the bulk capacitor sees.
    """
    yield from _mains(layout)
    yield from _capacitances(layout)
    yield from _power(layout)
    boosted = bool(layout.parts("pfc_inductor"))
    for voltage in () if boosted else sorted({layout.lowest_mains, *HOLD_UP_MAINS}):
        yield from _cycle(voltage)
    yield from _highest(layout, boosted)
    yield from _pins(layout)


def _mains(layout: Layout) -> Iterator[Derivation]:
    source = cite("common-practice", "the label's range and 10 % beyond, or 90 to 264 V", "P")
    for quantity, voltage in (("lowest_mains", layout.lowest_mains), ("highest_mains", layout.highest_mains)):
        yield Derivation(Key.of(INPUT, quantity), {}, taken, source, {"value": voltage}, route=Route.ASSUMED)


def _capacitances(layout: Layout) -> Iterator[Derivation]:
    for role, quantity in (("bulk_capacitor", "bulk_capacitance"), ("x_capacitor", "x_capacitance")):
        parts = layout.parts(role)
        if parts:
            needs = {"values": part_keys(parts, "capacitance")}
            yield Derivation(
                Key.of(INPUT, quantity), needs, sum_of, PARALLEL, {"counts": counts(parts)}, note=named(parts)
            )
    resistors = layout.parts("x_discharge")
    if resistors:
        needs = {"values": part_keys(resistors, "resistance")}
        note = f"{named(resistors)} in series"
        fixed = {"counts": counts(resistors)}
        yield Derivation(Key.of(INPUT, "discharge_resistance"), needs, sum_of, SERIES, fixed, note=note)


def _power(layout: Layout) -> Iterator[Derivation]:
    """Full-load input power: the rating over the efficiency measured at the lower mains, or the assumed one."""
    low = layout.lowest_mains
    measured = [key for key in layout.with_quantity("input_power", "port:") if key.condition("load") == 1.0]
    strongest = layout.strongest_offer
    full = [
        k
        for k in measured
        if strongest and (k.subject, k.condition("offer")) == strongest[:2] and "with" not in dict(k.at)
    ]
    near = min(full, key=lambda key: abs(float(key.condition("mains") or 0) - low), default=None)
    output = Key.of("unit", "output_power")
    efficiency = Key.of(near.subject, "efficiency", **dict(near.at)) if near else Key.of(INPUT, "full_load_efficiency")
    note = "rating over the efficiency measured at full load" if near else "rating over the assumed efficiency"
    source = cite("algebra", "input power is output power over efficiency", "C")
    for voltage in sorted({low, *HOLD_UP_MAINS}):
        yield Derivation(
            Key.of(INPUT, "input_power", mains=voltage),
            {"output": output, "efficiency": efficiency},
            output_over_efficiency,
            source,
            note=note,
        )


def _cycle(voltage: float) -> Iterator[Derivation]:
    power = Key.of(INPUT, "input_power", mains=voltage)
    capacitance = Key.of(INPUT, "bulk_capacitance")
    needs = {
        "power": power,
        "capacitance": capacitance,
        "mains_frequency": Key.of(INPUT, "mains_frequency"),
        "bridge_drop": Key.of(INPUT, "bridge_drop"),
    }
    cycle = mains.rectifier_cycle
    for quantity, field in CYCLE.items():
        yield Derivation(
            Key.of(INPUT, quantity, mains=voltage), needs, cycle, cycle.source, {"mains_voltage": voltage}, pick=field,
            note="mains without impedance: currents are on the high side",
        )  # fmt: skip
    per_watt = mains.bulk_per_watt
    yield Derivation(
        Key.of(INPUT, "bulk_per_watt", mains=voltage),
        {"bulk_capacitance": capacitance, "input_power": power},
        per_watt,
        per_watt.source,
    )
    hold = supply.hold_up_time
    needs = {
        "capacitance": capacitance,
        "start_voltage": Key.of(INPUT, "valley_voltage", mains=voltage),
        "lowest_voltage": Key.of(INPUT, "lowest_bulk_voltage"),
        "power": power,
    }
    yield Derivation(
        Key.of(INPUT, "hold_up_time", mains=voltage),
        needs,
        hold,
        hold.source,
        note="from the valley, the worst instant",
    )
    loss = losses.bridge_loss
    needs = {
        "mean_current": Key.of(INPUT, "bridge_current", mains=voltage),
        "bridge_drop": Key.of(INPUT, "bridge_drop"),
    }
    yield Derivation(Key.of(INPUT, "bridge_loss", mains=voltage), needs, loss, loss.source)


def _highest(layout: Layout, boosted: bool) -> Iterator[Derivation]:
    high = layout.highest_mains
    peak = Key.of(INPUT, "peak_bulk_voltage", mains=high)
    peak_of = mains.peak_bulk_voltage
    if not boosted:
        yield Derivation(peak, {}, peak_of, peak_of.source, {"mains_voltage": high}, note="bridge drop left out")
    energy = capacitors.stored_energy
    yield Derivation(
        Key.of(INPUT, "stored_energy", mains=high), {"capacitance": Key.of(INPUT, "bulk_capacitance"), "voltage": peak},
        energy, energy.source,
    )  # fmt: skip
    limiters = layout.parts("inrush_limiter")
    needs: dict[str, Key | tuple[Key, ...]] = {"source": Key.of(INPUT, "source_resistance")}
    if limiters:
        needs["limiters"] = part_keys(limiters, "cold_resistance")
    current = supply.inrush_current
    yield Derivation(
        Key.of(INPUT, "inrush_resistance"),
        needs,
        in_series,
        SERIES,
        note=f"{named(limiters)} cold, with mains and wiring",
    )
    inrush = Key.of(INPUT, "inrush_current", mains=high)
    resistance = Key.of(INPUT, "inrush_resistance")
    yield Derivation(
        inrush,
        {"resistance": resistance},
        current,
        current.source,
        {"mains_voltage": high},
        note="plugged in at the crest",
    )
    i2t = supply.inrush_i2t
    needs = {
        "peak_current": inrush,
        "resistance": resistance,
        "capacitance": Key.of(INPUT, "bulk_capacitance"),
    }
    yield Derivation(Key.of(INPUT, "inrush_i2t", mains=high), needs, i2t, i2t.source)


def _pins(layout: Layout) -> Iterator[Derivation]:
    residual = capacitors.residual_voltage
    needs = {
        "capacitance": Key.of(INPUT, "x_capacitance"),
        "resistance": Key.of(INPUT, "discharge_resistance"),
        "start_voltage": Key.of(INPUT, "peak_bulk_voltage", mains=layout.highest_mains),
    }
    yield Derivation(
        Key.of(INPUT, "x_residual_voltage"),
        needs,
        residual,
        residual.source,
        {"time": 2.0},
        note="2 s after unplugging at the crest",
    )


def counts(parts: tuple[Part, ...]) -> Array:
    """How many equal parts stand behind each, shape (k, 1)."""
    return np.array([[float(part.count)] for part in parts])


def named(parts: tuple[Part, ...]) -> str:
    """`C1, 2 × C2`, or 'no part'."""
    return ", ".join(part.ref if part.count == 1 else f"{part.count} × {part.ref}" for part in parts) or "no part"


def taken(*, value: float) -> float:
    """A value that is taken as it is."""
    return value


def sum_of(*, values: Array, counts: Array) -> Array:
    """Sum over parts, each as often as it is there."""
    return np.asarray((values * counts).sum(axis=0))


def output_over_efficiency(*, output: Array, efficiency: Array) -> Array:
    """W."""
    return output / efficiency


def in_series(*, source: Array, limiters: Array | None = None) -> Array:
    """Ω; each limiter once."""
    return source if limiters is None else source + limiters.sum(axis=0)
