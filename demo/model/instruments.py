"""Simulated instruments: each has one gain error and one offset, drawn once within its accuracy statement.

Seeds are fixed by the instrument's id, so that two runs read alike.
"""

import zlib
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Accuracy:
    """Half-widths as a share of the reading and an absolute part, noise and last digit, in SI units."""

    of_reading: float
    absolute: float
    noise: float
    digit: float
    statement: str


@dataclass(frozen=True)
class Meter:
    """One instrument on the bench."""

    id: str
    name: str
    accuracy: Mapping[str, Accuracy]

    def errors(self, quantity: str) -> tuple[float, float]:
        """Gain error and offset, uniform in the middle 70 % of the statement."""
        # Quantities under one statement share the error: one cold junction, one pair of jaws.
        rng = np.random.default_rng(zlib.crc32(f"{self.id} {self.accuracy[quantity].statement}".encode()))
        limits = self.accuracy[quantity]
        gain, offset = rng.uniform(-0.7, 0.7, 2)
        return float(gain) * limits.of_reading, float(offset) * limits.absolute

    def read(self, quantity: str, truth: ArrayLike, rng: np.random.Generator) -> Floats:
        """What the display shows, rounded to its last digit."""
        gain, offset = self.errors(quantity)
        limits = self.accuracy[quantity]
        values = np.asarray(truth, dtype=np.float64)
        noisy = values * (1 + gain) + offset + limits.noise * rng.standard_normal(values.shape)
        return np.asarray(np.round(noisy / limits.digit) * limits.digit, dtype=np.float64)

    def half_width(self, quantity: str, value: float) -> float:
        """Half-width of the accuracy statement at a reading."""
        limits = self.accuracy[quantity]
        return limits.of_reading * abs(value) + limits.absolute


def _analyser(id_: str, name: str, power: Accuracy) -> Meter:
    return Meter(
        id_,
        name,
        {
            "input_power": power,
            "input_voltage": Accuracy(1e-3, 0.15, 0.01, 0.01, "0.10 % rdg + 0.05 % of 300 V"),
            "input_current": Accuracy(1e-3, 1e-3, 2e-4, 1e-4, "0.10 % rdg + 0.05 % of 2 A"),
        },
    )


PA1 = _analyser("PA1", "power analyser, 100 W range", Accuracy(1e-3, 0.05, 4e-3, 1e-3, "0.10 % rdg + 0.05 % of 100 W"))
PA1L = _analyser("PA1L", "power analyser, 1 W range", Accuracy(1e-3, 4e-3, 1.6e-3, 1e-5, "0.10 % rdg + 0.40 % of 1 W"))
DM1 = Meter(
    "DM1",
    "bench multimeter at C1",
    {"port_voltage": Accuracy(2.5e-4, 5e-3, 3e-4, 1e-4, "0.025 % rdg + 0.005 % of 100 V")},
)
DM2 = Meter(
    "DM2",
    "hand multimeter at A1",
    {
        "port_voltage": Accuracy(5e-4, 5e-3, 5e-4, 1e-3, "0.05 % rdg + 0.01 % of 50 V"),
        "resistance": Accuracy(4e-3, 1e3, 50.0, 1e3, "0.4 % rdg + 0.02 % of 5 MΩ"),
    },
)
EL1 = Meter(
    "EL1",
    "electronic load, channel 1",
    {"output_current": Accuracy(5e-4, 1.2e-3, 2e-4, 1e-4, "0.05 % rdg + 0.02 % of 6 A")},
)
EL2 = Meter(
    "EL2",
    "electronic load, channel 2",
    {"output_current": Accuracy(2e-3, 6e-3, 4e-4, 1e-3, "0.2 % rdg + 0.2 % of 3 A")},
)
TL1 = Meter(
    "TL1",
    "thermocouple logger, type K",
    {
        "surface_temperature": Accuracy(0.0, 1.2, 0.04, 0.1, "1.2 °C"),
        "ambient_temperature": Accuracy(0.0, 1.2, 0.03, 0.1, "1.2 °C"),
        "part_temperature": Accuracy(0.0, 1.2, 0.1, 0.1, "1.2 °C"),
    },
)
SC1 = Meter("SC1", "scale", {"mass": Accuracy(0.0, 1e-4, 2e-5, 1e-4, "0.1 g")})
CA1 = Meter(
    "CA1",
    "caliper",
    {name: Accuracy(0.0, 5e-5, 1e-5, 1e-5, "0.05 mm") for name in ("length", "width", "height")},
)
LC1 = Meter(
    "LC1",
    "bridge meter",
    {
        "capacitance": Accuracy(5e-3, 1e-12, 0.0, 1e-13, "0.5 % rdg"),
        "magnetising_inductance": Accuracy(5e-3, 0.0, 0.0, 1e-8, "0.5 % rdg"),
        "turns_ratio": Accuracy(7e-3, 0.0, 0.0, 1e-3, "0.7 % rdg"),
    },
)
SO1 = Meter(
    "SO1",
    "oscilloscope, 20 MHz limit for ripple",
    {
        "ripple_voltage": Accuracy(0.03, 1e-3, 4e-4, 1e-3, "3 % rdg + 1 mV"),
        "switch_voltage": Accuracy(0.015, 2.0, 0.5, 1.0, "1.5 % rdg + 2 V"),
        "rectifier_voltage": Accuracy(0.015, 0.5, 0.1, 0.1, "1.5 % rdg + 0.5 V"),
        "working_voltage": Accuracy(0.015, 1.0, 0.3, 1.0, "1.5 % rdg + 1 V"),
        "switching_frequency": Accuracy(2e-4, 20.0, 150.0, 100.0, "0.02 % rdg + 20 Hz"),
    },
)
PH1 = Meter(
    "PH1",
    "photo, scaled by the ruler in it",
    {name: Accuracy(0.0, 6e-5, 0.0, 1e-5, "0.06 mm") for name in ("creepage", "clearance")},
)
METERS = (PA1, PA1L, DM1, DM2, EL1, EL2, TL1, SC1, CA1, LC1, SO1, PH1)
