"""A boundary-mode boost in front of the bulk capacitor: currents, frequencies, losses, and the voltage it holds."""

from collections.abc import Iterator

import numpy as np

from partingline.calc import losses, supply
from partingline.calc.powerstage.pfc_boundary import boundary_boost
from partingline.facts.derivation import Derivation, Need
from partingline.facts.derivations.input_stage import HOLD_UP_MAINS
from partingline.facts.derivations.layout import INPUT, Layout, part_keys
from partingline.facts.draws import Array
from partingline.model import Key, Route
from partingline.sources import cite

PFC = "stage:pfc"
BOOST_VOLTAGE, BOOST_SPREAD = 395.0, 4.0
CYCLE = {
    "inductor_peak_current": "peak_current", "boost_inductor_current": "inductor_current",
    "boost_switch_current": "switch_current", "boost_diode_current": "diode_current",
    "boost_capacitor_current": "capacitor_current", "lowest_frequency": "lowest_frequency",
    "highest_frequency": "highest_frequency",
}  # fmt: skip
"""Quantities of the stage, and the fields of the cycle that they are."""
LINE = cite("algebra", "a line current in the shape of the line voltage", "C")
RIPPLE = cite("algebra", "power that swings at twice the mains frequency, on the bulk capacitor", "C")


def derive(layout: Layout) -> Iterator[Derivation]:
    """At the lowest mains, 115 and 230 V; nothing without a boost inductor."""
    inductors = layout.parts("pfc_inductor")
    if not inductors:
        return
    usual = cite("common-practice", "380 to 405 V", "P")
    boost = Key.of(PFC, "boost_voltage")
    own = (f"{boost.id}/usual range",)
    yield Derivation(boost, {}, usual_boost_voltage, usual, own=own, route=Route.ASSUMED, note="for mains up to 264 V")
    for mains in sorted({layout.lowest_mains, *HOLD_UP_MAINS}):
        power = Key.of(INPUT, "input_power", mains=mains)
        needs: dict[str, Need] = {
            "input_power": power, "bulk_voltage": boost, "inductance": Key.of(inductors[0].subject, "inductance"),
        }  # fmt: skip
        for quantity, field in CYCLE.items():
            yield Derivation(
                Key.of(PFC, quantity, mains=mains), needs, boundary_boost, boundary_boost.source,
                {"mains_voltage": mains}, pick=field, note="constant on time, at full load",
            )  # fmt: skip
        yield from _losses(layout, mains)
        yield from _line(mains, power, boost)
    yield from _bulk(layout, boost)


def _losses(layout: Layout, mains: float) -> Iterator[Derivation]:
    lost, dropped = losses.conduction_loss, losses.bridge_loss
    switch, current = layout.parts("pfc_switch"), Key.of(PFC, "boost_switch_current", mains=mains)
    if switch:
        through: dict[str, Need] = {"resistances": part_keys(switch, "on_resistance"), "current": current}
        yield Derivation(Key.of(PFC, "conduction_loss", mains=mains), through, in_parallel_loss, lost.source)
    for part in layout.parts("pfc_inductor")[:1]:
        winding: dict[str, Need] = {
            "resistance": Key.of(part.subject, "resistance"),
            "current": Key.of(PFC, "boost_inductor_current", mains=mains),
        }  # fmt: skip
        note = "direct-current resistance: without what proximity adds"
        yield Derivation(Key.of(part.subject, "copper_loss", mains=mains), winding, lost, lost.source, note=note)
    for part in layout.parts("pfc_rectifier")[:1]:
        mean: dict[str, Need] = {
            "power": Key.of(INPUT, "input_power", mains=mains), "voltage": Key.of(PFC, "boost_voltage"),
            "drop": Key.of(part.subject, "forward_voltage"),
        }  # fmt: skip
        yield Derivation(Key.of(part.subject, "rectifier_loss", mains=mains), mean, diode_loss, dropped.source)


def _line(mains: float, power: Key, boost: Key) -> Iterator[Derivation]:
    """What the input carries and the capacitor swings, in place of what a bridge on a capacitor would draw."""
    for quantity, factor in (("line_current", 1.0), ("line_peak_current", 2**0.5), ("bridge_current", 8**0.5 / np.pi)):
        yield Derivation(
            Key.of(INPUT, quantity, mains=mains), {"power": power}, sine_current, LINE,
            {"mains": mains, "factor": factor}, note="a boost stage shapes the current",
        )  # fmt: skip
    needs: dict[str, Need] = {
        "power": power, "voltage": boost, "capacitance": Key.of(INPUT, "bulk_capacitance"),
        "mains_frequency": Key.of(INPUT, "mains_frequency"),
    }  # fmt: skip
    yield Derivation(Key.of(INPUT, "valley_voltage", mains=mains), needs, bulk_valley, RIPPLE)
    swing = {"power": power, "voltage": boost}
    yield Derivation(Key.of(INPUT, "bulk_ripple_current", mains=mains), swing, line_ripple, RIPPLE)
    hold = supply.hold_up_time
    through = {
        "capacitance": Key.of(INPUT, "bulk_capacitance"), "power": power,
        "start_voltage": Key.of(INPUT, "valley_voltage", mains=mains),
        "lowest_voltage": Key.of(INPUT, "lowest_bulk_voltage"),
    }  # fmt: skip
    gives = Key.of(INPUT, "hold_up_time", mains=mains)
    yield Derivation(gives, through, hold, hold.source, note="from the valley, the worst instant")


def _bulk(layout: Layout, boost: Key) -> Iterator[Derivation]:
    needs: dict[str, Need] = {
        "power": Key.of(INPUT, "input_power", mains=max(HOLD_UP_MAINS)), "voltage": boost,
        "capacitance": Key.of(INPUT, "bulk_capacitance"), "mains_frequency": Key.of(INPUT, "mains_frequency"),
    }  # fmt: skip
    gives = Key.of(INPUT, "peak_bulk_voltage", mains=layout.highest_mains)
    yield Derivation(gives, needs, bulk_top, RIPPLE, note="held by the boost stage")


def usual_boost_voltage(*, own: Array) -> Array:
    """V."""
    return np.asarray(BOOST_VOLTAGE + BOOST_SPREAD * own[0])


def in_parallel_loss(*, resistances: Array, current: Array) -> Array:
    """W; resistances of shape (k, draws) side by side."""
    return np.asarray(current**2 / (1 / resistances).sum(axis=0))


def diode_loss(*, power: Array, voltage: Array, drop: Array) -> Array:
    """W; the mean current is the power over the bulk voltage."""
    return drop * power / voltage


def sine_current(*, power: Array, mains: float, factor: float) -> Array:
    """A; `factor` times the RMS value."""
    return factor * power / mains


def line_ripple(*, power: Array, voltage: Array) -> Array:
    """A RMS at twice the mains frequency."""
    return np.asarray(power / (np.sqrt(2) * voltage))


def bulk_valley(*, power: Array, voltage: Array, capacitance: Array, mains_frequency: Array) -> Array:
    """V; the mean less half of the ripple P / (2 pi f C V)."""
    return voltage - _half_swing(power, voltage, capacitance, mains_frequency)


def bulk_top(*, power: Array, voltage: Array, capacitance: Array, mains_frequency: Array) -> Array:
    """V; the mean and half of the ripple."""
    return voltage + _half_swing(power, voltage, capacitance, mains_frequency)


def _half_swing(power: Array, voltage: Array, capacitance: Array, frequency: Array) -> Array:
    return power / (4 * np.pi * frequency * capacitance * voltage)
