"""Copper and cables."""

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.calc.thermal import copper_resistance
from partingline.sources import cite

COPPER = 1.724e-8
"""Resistivity of annealed copper at 20 degC in Ω m (IEC 60028)."""


@calculation(
    source=cite("astm-b258", "0.127 mm x 92^((36 - n)/39)", "M"),
    units={"gauge": "1"},
    gives="m",
    example=Example({"gauge": 36.0}, 0.127e-3, 1e-12, "ASTM B258: AWG 36 is 0.0050 in"),
)
def awg_diameter(*, gauge: Real) -> Real:
    """The diameter of a solid AWG wire; 0 for 1/0, negative for larger ones."""
    return plain(0.127e-3 * 92.0 ** ((36 - np.asarray(gauge)) / 39))


@calculation(
    source=cite("astm-b258", "with the resistivity of IEC 60028", "C"),
    units={"gauge": "1", "temperature": "degC"},
    gives="Ω/m",
    example=Example({"gauge": 20.0, "temperature": 20.0}, 33.3e-3, 2e-3, "wire tables: AWG 20 is 33.3 mΩ/m at 20 °C"),
)
def awg_resistance(*, gauge: Real, temperature: Real = 20.0) -> Real:
    """The resistance of a metre of solid AWG copper wire at a temperature."""
    area = np.pi / 4 * awg_diameter(gauge=gauge) ** 2
    return copper_resistance(resistance_at_20=COPPER / area, temperature=temperature)


@calculation(
    source=cite("algebra", "Ohm's law, out and back", "C"),
    units={"resistance_per_metre": "Ω/m", "length": "m", "current": "A"},
    gives="V",
    example=Example(
        {"resistance_per_metre": 33.3e-3, "length": 1.0, "current": 3.0},
        0.20,
        2e-3,
        "1 m loop, AWG 20",
        outside=False,
    ),
    no_outside="Ohm's law",
)
def loop_voltage_drop(*, resistance_per_metre: Real, length: Real, current: Real) -> Real:
    """The voltage lost in both conductors of a cable of a length."""
    return 2 * resistance_per_metre * length * current


@calculation(
    source=cite("usb-typec", "500 mV on VBUS and 250 mV on GND", "S2"),
    units={"current": "A"},
    gives="Ω",
    example=Example({"current": 3.0}, 0.25, 1e-12, "USB Type-C: 750 mV at 3 A, as read in an article"),
)
def usb_c_loop_resistance(*, current: Real) -> Real:
    """The highest resistance, out and back with contacts, of a USB-C cable at its rated current."""
    return plain(0.75 / np.asarray(current))
