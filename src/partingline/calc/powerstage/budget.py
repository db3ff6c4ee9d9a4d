"""Where the power goes: every loss of the unit by item, at the instants of the bulk ripple and as their mean."""

from dataclasses import dataclass

import numpy as np

from partingline.calc.declare import Real
from partingline.calc.magnetics import flyback_core_loss
from partingline.calc.numbers import Array
from partingline.calc.powerstage.bulk_average import BulkWave, averaged
from partingline.calc.powerstage.cycle import Cycle
from partingline.calc.powerstage.stage import Flyback

ITEMS = (
    "bridge", "inrush limiter and filter", "bulk capacitors", "discharge resistors", "switch conduction",
    "switch turn-on", "switch turn-off", "gate drive", "primary copper", "secondary copper", "core", "clamp",
    "leakage ring", "drain ring", "rectifier conduction", "rectifier switching", "output capacitors", "output path",
    "controllers",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Parts:
    """What the losses hang on beside the flyback stage itself. SI units; arrays broadcast with the points.

    `bridge_drop` is the constant drop of both diodes, `line_resistance` what thermistor, chokes, fuse and traces add
    (with the bridge's slope); `discharge_resistance` stands across the mains. `energy_share` is the turn-on energy
    over that of the linear drain capacitance. The copper factors multiply the winding resistances. Core: Steinmetz
    coefficients in SI units with volume, area and primary turns; `core_bias` for the loss that a DC bias adds.
    `rectifier_delay` is the body diode's time in a cycle.
    """

    bridge_drop: Real = 1.6
    line_resistance: Real = 0.0
    bulk_esr: Real = 0.0
    bulk_esr_switching: Real = 0.0
    discharge_resistance: Real = np.inf
    sense_resistance: Real = 0.0
    energy_share: Real = 1.0
    fall_time: Real = 0.0
    gate_charge: Real = 0.0
    gate_voltage: Real = 10.0
    primary_copper_factor: Real = 1.0
    secondary_copper_factor: Real = 1.0
    core_coefficient: Real = 0.0
    core_alpha: Real = 1.4
    core_beta: Real = 2.5
    core_volume: Real = 0.0
    core_area: Real = 1.0
    core_bias: Real = 1.0
    primary_turns: Real = 1.0
    rectifier_delay: Real = 0.0
    body_drop: Real = 0.8
    rectifier_gate_charge: Real = 0.0
    rectifier_capacitance: Real = 0.0
    output_path_resistance: Real = 0.0
    controller_power: Real = 0.0


def converter_losses(
    stage: Flyback, parts: Parts, cycle: Cycle, bulk: Real, output: Real, load: Real
) -> dict[str, Real]:
    """Losses in W of one switching cycle from the bulk capacitor to the output, by item."""
    f = cycle.frequency
    secondary = np.asarray(cycle.secondary_current, dtype=float) ** 2
    switch = np.asarray(cycle.switch_current, dtype=float) ** 2
    swing = stage.turns_ratio * (output + stage.rectifier_drop) * cycle.demagnetisation_time
    step = bulk / stage.turns_ratio + output
    winding = np.asarray(cycle.winding_current, dtype=float) ** 2
    rectifier = stage.rectifier_resistance * secondary + stage.rectifier_drop * load
    body = (parts.body_drop - stage.rectifier_drop) * parts.rectifier_delay * f * cycle.secondary_peak_current
    charged = parts.rectifier_gate_charge * parts.gate_voltage + 0.5 * parts.rectifier_capacitance * step**2
    high = np.maximum(switch - (np.asarray(cycle.input_power) / bulk) ** 2, 0.0)
    over = np.asarray(cycle.drain_peak_voltage)
    return {
        "bulk capacitors": parts.bulk_esr_switching * high,
        "switch conduction": stage.switch_resistance * switch,
        "switch turn-on": cycle.turn_on_loss * parts.energy_share,
        "switch turn-off": cycle.peak_current * over * parts.fall_time * f / 6,
        "gate drive": parts.gate_charge * parts.gate_voltage * f,
        "primary copper": stage.primary_winding_resistance * parts.primary_copper_factor * winding,
        "secondary copper": stage.secondary_winding_resistance * parts.secondary_copper_factor * secondary,
        "core": _core(parts, swing, cycle),
        "clamp": cycle.clamp_loss,
        "leakage ring": cycle.leakage_ring_loss,
        "drain ring": cycle.ring_loss,
        "rectifier conduction": rectifier,
        "rectifier switching": charged * f + body,
        "output capacitors": stage.output_esr * np.maximum(secondary - load**2, 0.0),
        "output path": parts.output_path_resistance * load**2,
        "controllers": parts.controller_power + 0.0 * np.asarray(f),
    }


def _core(parts: Parts, swing: Real, cycle: Cycle) -> Real:
    if not np.any(np.asarray(parts.core_coefficient)):
        return 0.0 * np.asarray(cycle.frequency)
    density = flyback_core_loss(
        coefficient=parts.core_coefficient, alpha=parts.core_alpha, beta=parts.core_beta,
        flux_swing=swing / (parts.primary_turns * parts.core_area), on_time=cycle.on_time,
        demagnetisation_time=cycle.demagnetisation_time, frequency=cycle.frequency,
    )  # fmt: skip
    return density * parts.core_volume * parts.core_bias


def input_losses(parts: Parts, wave: BulkWave, mains_voltage: Real, line_share: Real = 1.0) -> dict[str, Real]:
    """Losses in W from the plug to the bulk capacitor, by item.

    `line_share` corrects the RMS currents of a mains without impedance: what a march with resistance gives, over
    what the exact cycle gives.
    """
    line = (wave.line_current * line_share) ** 2
    return {
        "bridge": parts.bridge_drop * wave.bridge_current,
        "inrush limiter and filter": parts.line_resistance * line,
        "bulk capacitors": parts.bulk_esr * (wave.capacitor_current * line_share) ** 2,
        "discharge resistors": mains_voltage**2 / parts.discharge_resistance,
    }


def mean_losses(converter: dict[str, Real], wave: BulkWave, source: dict[str, Real]) -> dict[str, Array]:
    """All items in W, averaged over the bulk ripple, in the order of `ITEMS`."""
    means = {name: averaged(np.asarray(values), wave.weights) for name, values in converter.items()}
    for name, values in source.items():
        means[name] = np.asarray(means.get(name, 0.0) + values)
    return {name: means[name] for name in ITEMS if name in means}
