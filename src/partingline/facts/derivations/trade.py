"""What no part tells: ranges of the trade and the model's own errors, as draws that all facts of a unit share."""

import numpy as np

from partingline.calc.powerstage.budget import MODEL_ERROR
from partingline.facts.draws import Array, Draws
from partingline.model import Shape

SPREAD = {
    "leakage": (0.008, 0.5), "primary winding": (0.006, 0.4), "secondary winding": (0.004, 0.4), "core": (0.008, 0.5),
    "fixed": (0.006, 0.4), "ring quality": (20.0, 0.4), "hot": (1.45, 0.12),
    "clocked turn-on": (0.6, 0.4), "path": (0.025, 0.4), "esr": (0.008, 0.4),
}  # fmt: skip
"""Where nothing is known, median and relative spread: leakage as a share of the inductance; windings, core and fixed
loss as shares of the full output power; turn-on energy of a cycle on the clock over that of the ring's phase, since
controllers seek valleys; resistance of a hot transistor over that at 25 °C; path and ESR in ohms.
Ranges of the trade, no source."""


class TradeDraws:
    """Draws of what no part tells: the same for every load point of a unit, the estimate first."""

    def __init__(self, length: int) -> None:
        self._draws = Draws(length - 1)

    def around(self, name: str) -> Array:
        """Draws about the median of a range of the trade."""
        median, relative = SPREAD[name]
        return median * self.spread(f"trade:{name}", relative)

    def error(self, item: str) -> Array | float:
        """The model's own error of a loss item, as a factor."""
        return self.spread(f"model:{item}", MODEL_ERROR[item]) if item in MODEL_ERROR else 1.0

    def spread(self, cause: str, relative: float) -> Array:
        """A lognormal factor."""
        return np.asarray(np.exp(relative * self._draws.unit(cause, Shape.NORMAL)))
