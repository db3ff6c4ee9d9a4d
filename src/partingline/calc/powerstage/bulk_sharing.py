"""Several bulk capacitors with chokes between them: who carries the switching current."""

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite


@calculation(
    source=cite("algebra", "current divider of two capacitors with a choke between them", "C"),
    units={
        "near_capacitance": "F", "near_resistance": "Ω", "far_capacitance": "F", "far_resistance": "Ω",
        "choke_inductance": "H", "frequency": "Hz",
    },
    gives="1",
    example=Example(
        {
            "near_capacitance": 82e-6, "near_resistance": 0.0, "far_capacitance": 27e-6, "far_resistance": 0.0,
            "choke_inductance": 0.0, "frequency": 100e3,
        },
        27 / 109, 1e-9, "without a choke: the share of the capacitance", outside=False,
    ),
    no_outside="Kirchhoff; held against its limits",
)  # fmt: skip
def far_share(
    *,
    near_capacitance: Real,
    near_resistance: Real,
    far_capacitance: Real,
    far_resistance: Real,
    choke_inductance: Real,
    frequency: Real,
) -> Real:
    """The part of an alternating current at the converter that flows in the capacitor beyond the choke.

    At twice the mains frequency a choke of microhenries is nothing and both share by capacitance; at the switching
    frequency nearly all stays in the near one.
    """
    w = 2 * np.pi * np.asarray(frequency, dtype=float)
    near = near_resistance + 1 / (1j * w * near_capacitance)
    far = far_resistance + 1 / (1j * w * far_capacitance) + 1j * w * choke_inductance
    return plain(np.abs(near / (near + far)))
