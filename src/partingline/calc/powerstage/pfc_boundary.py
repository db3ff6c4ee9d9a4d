"""A boundary-mode boost stage in front of the bulk capacitor: power factor correction with constant on time."""

from dataclasses import dataclass

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite

ANGLES = 64


@dataclass(frozen=True, slots=True)
class BoundaryBoost:
    """A boundary-mode boost over a half line cycle. A, Hz, s; currents are RMS but the peak."""

    on_time: Real
    peak_current: Real
    line_current: Real
    inductor_current: Real
    switch_current: Real
    diode_current: Real
    capacitor_current: Real
    lowest_frequency: Real
    highest_frequency: Real


@calculation(
    source=cite("algebra", "constant on time: the peak of each cycle follows the line", "C"),
    units={
        "input_power": "W", "mains_voltage": "V", "bulk_voltage": "V", "inductance": "H",
    },
    gives="on_time s, peak_current A, line_current A, inductor_current A, switch_current A, diode_current A, "
    "capacitor_current A, lowest_frequency Hz, highest_frequency Hz",
    valid_for={"mains_voltage": (80.0, 275.0)},
    errata="Without the ring at turn-on and the flattening near the zero crossing.",
    example=Example(
        {"input_power": 100.0, "mains_voltage": 100.0, "bulk_voltage": 400.0, "inductance": 400e-6},
        {"peak_current": 2.828427, "line_current": 1.0, "on_time": 8e-6, "inductor_current": 1.154701},
        1e-5, "2 sqrt(2) P/V, 2 L P / V², 2/sqrt(3) of the line current", outside=False,
    ),
    no_outside="volt-second balance and integration over the line; held against a sampled half cycle",
)  # fmt: skip
def boundary_boost(*, input_power: Real, mains_voltage: Real, bulk_voltage: Real, inductance: Real) -> BoundaryBoost:
    """Currents and frequencies; NaN where the crest of the mains reaches the bulk voltage."""
    p, v, out, ind = np.broadcast_arrays(
        *np.atleast_1d(*(np.asarray(x, dtype=float) for x in (input_power, mains_voltage, bulk_voltage, inductance)))
    )
    crest = np.sqrt(2) * v
    with np.errstate(all="ignore"):
        out = np.where(crest < out, out, np.nan)
        on = 2 * ind * p / v**2
        peak = crest * on / ind
        theta = (np.arange(ANGLES) + 0.5) / ANGLES * np.pi
        line = crest * np.sin(theta).reshape(-1, *([1] * crest.ndim))
        triangle = line * on / ind
        duty = 1 - line / out
        switch = np.sqrt(np.mean(duty * triangle**2 / 3, axis=0))
        diode = np.sqrt(np.mean((1 - duty) * triangle**2 / 3, axis=0))
        mean = p / out
        frequency = duty / on
    fields = (on, peak, p / v, peak / np.sqrt(6), switch, diode, np.sqrt(np.maximum(diode**2 - mean**2, 0.0)),
              frequency.min(axis=0), frequency.max(axis=0))  # fmt: skip
    shape = np.broadcast_shapes(*(np.shape(x) for x in (input_power, mains_voltage, bulk_voltage, inductance)))
    return BoundaryBoost(*(plain(np.reshape(field, shape)) for field in fields))
