"""How the primary is run, as the part list, the bench or a person tells it."""

import math

from partingline.facts.derivations.layout import Layout
from partingline.model import Key

PRIMARY = "stage:primary"
CLOCK = 65e3
"""Hz; the commonest fixed frequency of flyback controllers (common practice, no source)."""


def circuit(layout: Layout) -> str:
    """What the parts make of the primary; a flyback where nothing else is said."""
    return layout.text(Key.of(PRIMARY, "circuit")) or "flyback"


def clock(layout: Layout) -> float:
    """The frequency in Hz of a controller of fixed frequency, as measured or the commonest one; NaN for valleys."""
    if layout.text(Key.of(PRIMARY, "mode")) != "fixed frequency":
        return math.nan
    seen = [layout.number(key) for key in layout.with_quantity("switching_frequency", PRIMARY)]
    return max((f for f in seen if f), default=CLOCK)


def slope_compensated(layout: Layout) -> bool:
    """Whether somebody says that the controller adds a slope to the current that it compares."""
    return layout.text(Key.of(PRIMARY, "slope_compensation")) == "yes"
