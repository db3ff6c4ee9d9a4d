"""The demonstration unit's converter as a bench sees it: fresh readings of its simulation."""

import sys
from pathlib import Path

import numpy as np

from partingline.calc.powerstage.backwards import Known, Reading
from partingline.calc.powerstage.budget import Parts
from partingline.calc.powerstage.control import Controller
from partingline.calc.powerstage.stage import Flyback

sys.path.insert(0, str(Path(__file__).parents[3] / "demo"))

from model.physics import Mains, operate, ripple
from model.truth import CONVERTER, OUTPUT

LOADS = (0.25, 0.5, 0.75, 1.0)
FULL = 3.25


def truth() -> dict[str, float]:
    """The hidden values."""
    c = CONVERTER
    ratio = c.primary_turns / c.secondary_turns
    return {
        "turns_ratio": ratio,
        "magnetising_inductance": c.magnetising_inductance,
        "drain_capacitance": c.drain_capacitance,
        "winding_resistance": c.primary_copper + ratio**2 * c.secondary_copper,
    }


def known() -> Known:
    """From markings and data sheets alone: switch 150 mΩ cold, sense 0.1 Ω, rectifier 7.8 mΩ, clamp 18 kΩ and 1 nF."""
    stage = Flyback(
        turns_ratio=1.0, magnetising_inductance=1e-4, leakage_inductance=1e-6, drain_capacitance=1e-10,
        switch_resistance=0.15 * 1.5 + 0.1, rectifier_resistance=7.8e-3 * 1.4, output_esr=5e-3,
        clamp_resistance=18e3, clamp_capacitance=1e-9, ring_quality=20.0,
    )  # fmt: skip
    parts = Parts(
        bridge_drop=1.6, line_resistance=1.7, bulk_esr=0.3, discharge_resistance=2e6, output_path_resistance=0.037,
        core_coefficient=8.0, core_alpha=1.4, core_beta=2.5, core_volume=5e-6, core_area=86e-6, primary_turns=32.0,
        primary_copper_factor=1.0, rectifier_delay=60e-9,
    )  # fmt: skip
    return Known(stage, parts, Controller(highest_frequency=130e3), 105e-6)


def readings(rng: np.random.Generator) -> list[Reading]:
    """Frequency and loss at two mains and four loads, ripple at full load; accuracies as the demonstration's."""
    found = []
    for mains in (Mains(115.0, 60.0), Mains(230.0, 50.0)):
        for load in LOADS:
            amps = load * FULL
            seen = operate(mains, 20.0, amps)
            rail = seen.port_voltage + 0.037 * amps
            at = (mains.voltage, mains.frequency, rail, amps, seen.input_power)
            u_f = 2e-4 * seen.frequency + 20.0
            found.append(Reading("frequency", seen.frequency + rng.normal(0, u_f), u_f, *at))
            lost = seen.input_power - seen.output_power
            u_p = 1e-3 * seen.input_power / np.sqrt(3) + 0.03
            found.append(Reading("loss", lost + rng.normal(0, u_p), u_p, *at))
            if load == 1.0:
                swing = ripple(seen)
                found.append(Reading("ripple", swing + rng.normal(0, 0.03 * swing), 0.03 * swing, *at))
    return found


__all__ = ["FULL", "OUTPUT", "known", "readings", "truth"]
