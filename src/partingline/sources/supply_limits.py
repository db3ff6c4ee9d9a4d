"""Efficiency and no-load limits of external power supplies, by programme, metric and class."""

from dataclasses import dataclass
from datetime import date
from functools import cache

import numpy as np
from numpy.typing import NDArray

from partingline.model import Citation
from partingline.sources.documents import cite
from partingline.sources.tables import table


@dataclass(frozen=True, slots=True)
class Band:
    """A stretch of output power, ending at `to` (open: just below it): ln * ln(P) + lin * P + const."""

    to: float
    open: bool
    ln: float
    lin: float
    const: float


@dataclass(frozen=True, slots=True)
class SupplyLimit:
    """One column of a programme.

    Calling it with output powers in W gives the limit; NaN outside its scope.
    """

    bands: tuple[Band, ...]
    citation: Citation

    def __call__(self, output_power: float | NDArray[np.float64]) -> NDArray[np.float64]:
        power = np.asarray(output_power, dtype=float)
        result = np.full(power.shape, np.nan)
        for band in reversed(self.bands):
            inside = power < band.to if band.open else power <= band.to
            curve = band.ln * np.log(np.where(power > 0, power, 1.0)) + band.lin * power + band.const
            result = np.where(inside, curve, result)
        return np.where(power > 0, result, np.nan)


@dataclass(frozen=True, slots=True)
class Period:
    """The first day on which limits apply, and the first day on which they no longer do; None: open."""

    begins: date | None
    ends: date | None

    def holds(self, day: date) -> bool:
        """Whether the limits are in force on a day."""
        return (self.begins is None or self.begins <= day) and (self.ends is None or day < self.ends)


def period(programme: str) -> Period:
    """When a programme's limits are in force. KeyError for an unknown one."""
    held = table("eps_efficiency")[programme]
    return Period(held.get("from"), held.get("until"))


@cache
def supply_limit(programme: str, metric: str, supply_class: str) -> SupplyLimit:
    """The limit of a programme, metric (`average`, `low-load`, `no-load`) and class (`basic`).

    Levels that know no low-voltage class hold basic for both. KeyError says what there is.
    """
    programmes = table("eps_efficiency")
    if programme not in programmes:
        raise KeyError(f"no programme {programme!r}: expected one of {', '.join(programmes)}")
    held = programmes[programme]
    columns = held.get(metric, {})
    if supply_class == "low-voltage" and "low-voltage" not in columns and "basic" in columns:
        supply_class = "basic"
    if supply_class not in columns:
        known = ", ".join(f"{m}/{c}" for m, cs in held.items() if isinstance(cs, dict) for c in cs)
        raise KeyError(f"{programme} has no {metric} limit for class {supply_class!r}: it has {known}")
    column = columns[supply_class]
    return SupplyLimit(
        bands=tuple(
            Band(
                b.get("to", np.inf),
                b.get("open", False),
                b.get("ln", 0.0),
                b.get("lin", 0.0),
                b.get("const", 0.0),
            )
            for b in column["bands"]
        ),
        citation=cite(held["document"], held["where"], column["mark"]),
    )
