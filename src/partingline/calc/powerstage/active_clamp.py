"""An active clamp as bounds: its steady state hangs on timing that is seldom known."""

from dataclasses import dataclass

from partingline.calc.declare import Example, Real, calculation
from partingline.sources import cite


@dataclass(frozen=True, slots=True)
class ClampBounds:
    """What an active clamp can do at best and at worst: W and V."""

    least_loss: Real
    most_loss: Real
    least_drain_voltage: Real
    most_drain_voltage: Real


@calculation(
    source=cite("algebra", "all of the leakage energy returned, or none of it", "C"),
    units={
        "bulk_voltage": "V", "reflected_voltage": "V", "leakage_inductance": "H", "clamp_capacitance": "F",
        "peak_current": "A", "frequency": "Hz",
    },
    gives="least_loss W, most_loss W, least_drain_voltage V, most_drain_voltage V",
    example=Example(
        {
            "bulk_voltage": 325.0, "reflected_voltage": 120.0, "leakage_inductance": 3.5e-6,
            "clamp_capacitance": 100e-9, "peak_current": 1.5, "frequency": 150e3,
        },
        {"least_loss": 0.0, "most_loss": 0.590625, "least_drain_voltage": 445.0, "most_drain_voltage": 453.874},
        1e-4, "ours", outside=False,
    ),
    no_outside="bounds from energy conservation",
)  # fmt: skip
def active_clamp_bounds(
    *,
    bulk_voltage: Real,
    reflected_voltage: Real,
    leakage_inductance: Real,
    clamp_capacitance: Real,
    peak_current: Real,
    frequency: Real,
) -> ClampBounds:
    """Loss between nothing and the whole leakage energy; drain between the plateau and the capacitor's ring over it."""
    energy = leakage_inductance * peak_current**2 / 2
    ring = peak_current * (leakage_inductance / clamp_capacitance) ** 0.5
    plateau = bulk_voltage + reflected_voltage
    return ClampBounds(0.0 * energy, energy * frequency, plateau, plateau + ring)
