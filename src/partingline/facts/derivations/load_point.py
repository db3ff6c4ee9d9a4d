"""One load point of the flyback: the cycle that the parts give, and the losses in it by item.

The cycle is solved once for a load point; what only scales a loss item is applied to it afterwards.
"""

from dataclasses import dataclass

import numpy as np

from partingline.calc.powerstage.budget import Parts, converter_losses, input_losses, mean_losses
from partingline.calc.powerstage.bulk_average import BulkWave, averaged, bulk_wave
from partingline.calc.powerstage.control import Controller, run
from partingline.calc.powerstage.cycle import Cycle
from partingline.calc.powerstage.modes import DISCONTINUOUS, REASONS
from partingline.calc.powerstage.stage import Flyback
from partingline.facts.derivations.trade import in_parallel
from partingline.facts.draws import Array

USUAL_VOLTAGE = 29.0
"""V; the peak current of full load is about the power over this."""
AFTER_THE_BRIDGE = 0.985
"""Share of the input power that reaches the bulk capacitor."""
LOW_MAINS = 160.0
"""V; below this the mains has 60 Hz, above it 50 Hz."""
SLOPED = 0.2
"""Share of the rectifier's drop that does not go with the current; the rest is in its resistance."""


@dataclass(frozen=True, slots=True)
class LoadPoint:
    """The stage, the bulk voltage and the cycle at its instants; `rail` in V before the output path, `load` in A."""

    stage: Flyback
    wave: BulkWave
    cycle: Cycle
    rail: Array
    load: Array
    path: Array
    bridge_drop: Array
    mains_voltage: float | Array
    full_power: float
    light_load: Array
    """The model's own error where the frequency folds back, as a factor; 1 elsewhere."""


def load_point(
    *, input_power: Array, output_power: Array, port_voltage: Array, turns_ratio: Array, magnetising_inductance: Array,
    leakage_inductance: Array, drain_capacitance: Array, bulk_capacitance: Array, bridge_drop: Array, switch: Array,
    switch_heat: Array, rectifier_drop: Array, primary_winding: Array, secondary_winding: Array, esr: Array,
    ring_quality: Array, path: Array, mains_voltage: float | Array, full_power: float, highest: float,
    counts: dict[str, Array], sense: Array | None = None, switches: Array | None = None, rectifier: Array | None = None,
    rectifier_heat: Array | float = 1.0, lowest_peak_share: Array | float = 0.0, light_load: Array | float = 1.0,
    clock: float = np.nan, slope_compensated: bool = False, clamp_resistance: Array | float = np.inf,
    clamp_capacitance: Array | float = np.inf, clamp_level: Array | float = np.nan,
) -> LoadPoint:  # fmt: skip
    """The cycle that carries the load over the bulk ripple; draws of shape (draws,), several parts (k, draws).

    Without the resistance of a `rectifier` the whole of its drop is that of a diode. A `clock` in Hz stands for a
    controller of fixed frequency; else it seeks valleys below the `highest` frequency. A `clamp_level` in V above the
    bulk is a zener's; without one a resistor and a capacitor clamp.
    """
    load = output_power / port_voltage
    sensed = 0.0 if sense is None else in_parallel(values=sense, counts=counts["sense"])
    slope: Array | float = 0.0
    if rectifier is not None:
        slope = in_parallel(values=rectifier, counts=counts["rectifier"]) * rectifier_heat
    stage = Flyback(
        turns_ratio=turns_ratio, magnetising_inductance=magnetising_inductance, leakage_inductance=leakage_inductance,
        drain_capacitance=drain_capacitance,
        switch_resistance=in_parallel(values=switch, counts=counts["switch"]) * switch_heat + sensed,
        primary_winding_resistance=primary_winding, secondary_winding_resistance=secondary_winding,
        rectifier_resistance=slope, rectifier_drop=rectifier_drop * (1.0 if rectifier is None else SLOPED),
        output_esr=esr, clamp_resistance=clamp_resistance, clamp_capacitance=clamp_capacitance,
        ring_quality=ring_quality, clamp_voltage=clamp_level,
    )  # fmt: skip
    wave = bulk_wave(
        power=AFTER_THE_BRIDGE * input_power, capacitance=bulk_capacitance, mains_voltage=mains_voltage,
        mains_frequency=np.where(np.asarray(mains_voltage) < LOW_MAINS, 60.0, 50.0), bridge_drop=bridge_drop,
    )  # fmt: skip
    whole = path + (0.0 if switches is None else switches.sum(axis=0) / len(switches))
    rail = port_voltage + whole * load
    lowest = lowest_peak_share * full_power / USUAL_VOLTAGE
    control = Controller(
        highest_frequency=highest, lowest_peak=lowest, fixed_frequency=clock, slope_compensated=slope_compensated
    )
    cycle = run(stage, control, bulk_voltage=wave.voltages, output_voltage=rail, output_current=load, rounds=4)
    error = np.where(np.asarray(cycle.peak_current) <= lowest * (1 + 1e-9), light_load, 1.0)
    return LoadPoint(stage, wave, cycle, rail, load, whole, bridge_drop, mains_voltage, full_power, error)


def losses_of(
    point: LoadPoint, *, core_share: Array | float = 0.0, fixed_share: Array | float = 0.0,
    clocked_turn_on: Array | float = 1.0, fall_time: Array | float = 0.0, rectifier_delay: Array | float = 0.0,
    bulk_esr: Array | float = 0.0, source_resistance: Array | float = 0.0, discharge: Array | float = np.inf,
    **factors: Array,
) -> dict[str, Array]:  # fmt: skip
    """Losses in W by item, as means over the bulk ripple; `factors` are `factor_core` and so on.

    An item is right only where what moves it was given.
    """
    parts = Parts(
        bridge_drop=point.bridge_drop, line_resistance=source_resistance, bulk_esr=bulk_esr,
        output_path_resistance=point.path, discharge_resistance=discharge, rectifier_delay=rectifier_delay,
        fall_time=fall_time, controller_power=fixed_share * point.full_power,
    )  # fmt: skip
    items = converter_losses(point.stage, parts, point.cycle, point.wave.voltages, point.rail, point.load)
    clocked = np.asarray(point.cycle.mode) == DISCONTINUOUS
    items["switch turn-on"] = items["switch turn-on"] * np.where(clocked, clocked_turn_on, 1.0)
    items["core"] = core_share * _core(point)
    items = {name: values * point.light_load for name, values in items.items()}
    means = mean_losses(items, point.wave, input_losses(parts, point.wave, point.mains_voltage))
    return {name: np.asarray(values * factors.get(factor_name(name), 1.0)) for name, values in means.items()}


def currents_of(point: LoadPoint) -> dict[str, Array]:
    """The frequency in Hz, the highest peaks in A and V over the bulk ripple, and RMS currents in A over it."""
    cycle, weights = point.cycle, point.wave.weights
    peaks = {
        "peak current": cycle.peak_current, "secondary peak current": cycle.secondary_peak_current,
        "drain voltage": cycle.drain_peak_voltage,
    }  # fmt: skip
    squares = {
        "switch current": cycle.switch_current, "primary current": cycle.winding_current,
        "secondary current": cycle.secondary_current,
    }  # fmt: skip
    told = {name: np.asarray(values).max(axis=0) for name, values in peaks.items()}
    told |= {name: np.sqrt(averaged(np.asarray(values) ** 2, weights)) for name, values in squares.items()}
    return told | {"frequency": averaged(np.asarray(cycle.frequency), weights)}


def why_no_number(point: LoadPoint) -> str:
    """Why the estimate has no cycle at some instant of the bulk ripple; empty where it has one throughout."""
    if not np.isfinite(np.asarray(point.wave.valley).ravel()[0]):
        return "the bulk capacitor runs empty before the mains comes back"
    reasons = np.asarray(point.cycle.reason)
    first = reasons.reshape(reasons.shape[0], -1)[:, 0]
    return next((REASONS[int(one)] for one in first if one), "")


def factor_name(item: str) -> str:
    """`factor_core`: the argument that holds a model's error."""
    return f"factor_{item.replace(' ', '_').replace('-', '_')}"


def _core(point: LoadPoint) -> Array:
    """W for a share of one of the full power at 100 kHz and the peak current of full load, by Steinmetz exponents."""
    usual = point.full_power / USUAL_VOLTAGE
    frequency, peak = np.asarray(point.cycle.frequency), np.asarray(point.cycle.peak_current)
    return np.asarray(point.full_power * (frequency / 1e5) ** 1.4 * (peak / usual) ** 2.5)
