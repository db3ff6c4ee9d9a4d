"""The buck stage behind a converter: currents, RMS values and losses of a further port."""

from dataclasses import dataclass

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite


@dataclass(frozen=True, slots=True)
class BuckCycle:
    """One cycle of a synchronous buck stage. RMS unless said otherwise; A, W; `ripple` is peak to peak."""

    duty: Real
    ripple: Real
    peak_current: Real
    inductor_current: Real
    high_side_current: Real
    low_side_current: Real
    input_capacitor_current: Real
    output_capacitor_current: Real
    conduction_loss: Real
    switching_loss: Real
    winding_loss: Real


@calculation(
    source=cite("erickson-3e", "sections 2.2 and 2.3, inductor ripple of the buck", "S"),
    units={
        "input_voltage": "V", "output_voltage": "V", "output_current": "A", "inductance": "H", "frequency": "Hz",
        "high_side_resistance": "Ω", "low_side_resistance": "Ω", "winding_resistance": "Ω", "edge_time": "s",
        "dead_time": "s", "body_drop": "V",
    },
    gives="duty 1, ripple A, peak_current A, inductor_current A, high_side_current A, low_side_current A, "
    "input_capacitor_current A, output_capacitor_current A, conduction_loss W, switching_loss W, winding_loss W",
    errata="Continuous current; both switches conduct in turn. Below half the ripple the current reverses, as it does "
    "in a stage that forces continuous conduction.",
    example=Example(
        {
            "input_voltage": 20.0, "output_voltage": 10.0, "output_current": 2.0, "inductance": 10e-6,
            "frequency": 500e3, "high_side_resistance": 0.0, "low_side_resistance": 0.0, "winding_resistance": 0.0,
        },
        {"duty": 0.5, "ripple": 1.0, "peak_current": 2.5, "output_capacitor_current": 0.288675},
        1e-5, "hand calculation: (20 - 10) V x 1 µs / 10 µH", outside=False,
    ),
    no_outside="volt-second balance; held against a sampled waveform",
)  # fmt: skip
def buck_cycle(
    *,
    input_voltage: Real,
    output_voltage: Real,
    output_current: Real,
    inductance: Real,
    frequency: Real,
    high_side_resistance: Real,
    low_side_resistance: Real,
    winding_resistance: Real,
    edge_time: Real = 0.0,
    dead_time: Real = 0.0,
    body_drop: Real = 0.8,
) -> BuckCycle:
    """One cycle in continuous conduction, the drops of the resistances in the duty; NaN where the input is too low."""
    low = output_voltage + output_current * (low_side_resistance + winding_resistance)
    across = input_voltage + output_current * (low_side_resistance - high_side_resistance)
    duty = np.asarray(low / across, dtype=float)
    duty = np.where(duty < 1, duty, np.nan)
    ripple = (input_voltage - output_current * (high_side_resistance + winding_resistance) - output_voltage) * duty
    ripple = ripple / (inductance * frequency)
    square = np.asarray(output_current, dtype=float) ** 2 + ripple**2 / 12
    conduction = square * (duty * high_side_resistance + (1 - duty) * low_side_resistance)
    edges = 0.5 * input_voltage * output_current * 2 * edge_time * frequency
    body = body_drop * output_current * 2 * dead_time * frequency
    drawn = duty * output_current
    return BuckCycle(
        duty=plain(duty), ripple=plain(ripple), peak_current=plain(output_current + ripple / 2),
        inductor_current=plain(np.sqrt(square)), high_side_current=plain(np.sqrt(duty * square)),
        low_side_current=plain(np.sqrt((1 - duty) * square)),
        input_capacitor_current=plain(np.sqrt(np.maximum(duty * square - drawn**2, 0.0))),
        output_capacitor_current=plain(ripple / np.sqrt(12)), conduction_loss=plain(conduction),
        switching_loss=plain(edges + body), winding_loss=plain(square * winding_resistance),
    )  # fmt: skip
