"""An inrush limiter that heats itself: its resistance at a steady current."""

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import bisect, plain
from partingline.sources import cite

ZERO_C, COLD_K = 273.15, 298.15
HOTTEST = 400.0
"""K above the surroundings: no thermistor runs hotter."""


@calculation(
    source=cite("from-memory", "R = R25 exp(B (1/T - 1/T25)), heat I² R = δ (T - Ta)", "M"),
    units={
        "cold_resistance": "Ω", "current": "A", "ambient_temperature": "degC", "beta": "K", "dissipation": "W/K",
    },
    gives="Ω",
    errata="Still air; a part that touches others is cooler and keeps more resistance.",
    example=Example(
        {
            "cold_resistance": 5.0, "current": 0.0, "ambient_temperature": 50.0, "beta": 3000.0, "dissipation": 0.015,
        },
        5.0 * np.exp(3000 * (1 / 323.15 - 1 / 298.15)), 1e-4, "no current: the ambient alone", outside=False,
    ),
    no_outside="two laws set equal; held against both by a test",
)  # fmt: skip
def warm_resistance(
    *, cold_resistance: Real, current: Real, ambient_temperature: Real, beta: Real, dissipation: Real
) -> Real:
    """The resistance at which the heat of an RMS current leaves at the temperature that this resistance has."""
    arguments = (cold_resistance, current, ambient_temperature, beta, dissipation)
    r, i, t, b, d = np.broadcast_arrays(*np.atleast_1d(*(np.asarray(one, dtype=float) for one in arguments)))

    def resistance(rise: Real) -> Real:
        return r * np.exp(b * (1 / (t + ZERO_C + rise) - 1 / COLD_K))

    rise = bisect(lambda x: np.asarray(d * x - i**2 * resistance(x)), np.zeros_like(r), np.full_like(r, HOTTEST))
    shape = np.broadcast_shapes(*(np.shape(one) for one in arguments))
    return plain(np.reshape(resistance(rise), shape))
