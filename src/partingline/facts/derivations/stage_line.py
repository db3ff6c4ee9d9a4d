"""The input at every mains voltage asked: power factor, the thermistor warm, and what it lets through when plugged in
again before it has cooled."""

from collections.abc import Iterator

from partingline.calc import losses, mains, supply, thermistor
from partingline.facts.derivation import Derivation, Need
from partingline.facts.derivations.input_stage import HOLD_UP_MAINS, SERIES, in_series, named
from partingline.facts.derivations.layout import INPUT, Layout, part_keys
from partingline.model import Key, Part

LIMITER = "inrush_limiter"


def derive(layout: Layout) -> Iterator[Derivation]:
    """At the lowest mains, 115 and 230 V, and the highest."""
    boosted = bool(layout.parts("pfc_inductor"))
    for voltage in () if boosted else sorted({layout.lowest_mains, *HOLD_UP_MAINS}):
        cycle = mains.rectifier_cycle
        needs = {
            "power": Key.of(INPUT, "input_power", mains=voltage),
            "capacitance": Key.of(INPUT, "bulk_capacitance"),
            "mains_frequency": Key.of(INPUT, "mains_frequency"),
            "bridge_drop": Key.of(INPUT, "bridge_drop"),
        }
        yield Derivation(
            Key.of(INPUT, "power_factor", mains=voltage), needs, cycle, cycle.source, {"mains_voltage": voltage},
            pick="power_factor", note="mains without impedance: the power factor is on the low side",
        )  # fmt: skip
    thermistors = tuple(part for part in layout.parts(LIMITER) if part.kind == "thermistor")
    for part in thermistors:
        for voltage in sorted({layout.lowest_mains, *HOLD_UP_MAINS}):
            yield from _warm(part, voltage)
    if thermistors:
        yield from _again(layout, thermistors)


def _warm(part: Part, voltage: float) -> Iterator[Derivation]:
    """Resistance and loss of a thermistor at full load."""
    warm = thermistor.warm_resistance
    current = Key.of(INPUT, "line_current", mains=voltage)
    resistance = Key.of(part.subject, "warm_resistance", mains=voltage)
    needs = {
        "cold_resistance": Key.of(part.subject, "cold_resistance"), "current": current,
        "ambient_temperature": Key.of(INPUT, "air_inside"), "beta": Key.of(INPUT, "thermistor_beta"),
        "dissipation": Key.of(INPUT, "thermistor_dissipation"),
    }  # fmt: skip
    yield Derivation(resistance, needs, warm, warm.source, note="at full load")
    lost = losses.conduction_loss
    through = {"resistance": resistance, "current": current}
    yield Derivation(Key.of(part.subject, "limiter_loss", mains=voltage), through, lost, lost.source)


def _again(layout: Layout, thermistors: tuple[Part, ...]) -> Iterator[Derivation]:
    """Plugged in again at the crest of the highest mains, the capacitors empty and the thermistor still warm."""
    high = layout.highest_mains
    warm = tuple(Key.of(part.subject, "warm_resistance", mains=max(HOLD_UP_MAINS)) for part in thermistors)
    others = tuple(part for part in layout.parts(LIMITER) if part.kind != "thermistor")
    needs: dict[str, Need] = {
        "source": Key.of(INPUT, "source_resistance"),
        "limiters": (*warm, *part_keys(others, "cold_resistance")),
    }
    resistance = Key.of(INPUT, "inrush_resistance", state="warm")
    note = f"{named(thermistors)} warm from full load at {max(HOLD_UP_MAINS):g} V, with mains and wiring"
    yield Derivation(resistance, needs, in_series, SERIES, note=note)
    peak = Key.of(INPUT, "warm_inrush_current", mains=high)
    surge, melting = supply.inrush_current, supply.inrush_i2t
    yield Derivation(
        peak, {"resistance": resistance}, surge, surge.source, {"mains_voltage": high}, note="plugged in at the crest"
    )
    capacitance = Key.of(INPUT, "bulk_capacitance")
    through = {"peak_current": peak, "resistance": resistance, "capacitance": capacitance}
    yield Derivation(Key.of(INPUT, "warm_inrush_i2t", mains=high), through, melting, melting.source)
