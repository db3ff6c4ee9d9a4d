"""Calculations: pure functions on SI floats or arrays of draws, each declared with its source.

What comes in: numbers by keyword. What goes out: numbers, or frozen records of them; `CALCULATIONS` lists
every one by id, as `mains.rectifier_cycle`. Nothing here reads a file but through `sources`, and nothing
judges.
"""

from partingline.calc import (
    body,
    cables,
    capacitors,
    conformity,
    efficiency,
    efficiency_limits,
    flyback,
    flyback_design,
    lifetime,
    losses,
    magnetics,
    mains,
    output,
    ratings,
    safety,
    spacing,
    storage,
    supply,
    surface_path,
    thermal,
    uncertainty,
    valley,
    videolink,
    waveform,
)
from partingline.calc.declare import CALCULATIONS, Calculation, Example, Real, calculation

__all__ = [
    "CALCULATIONS",
    "Calculation",
    "Example",
    "Real",
    "body",
    "cables",
    "calculation",
    "capacitors",
    "conformity",
    "efficiency",
    "efficiency_limits",
    "flyback",
    "flyback_design",
    "lifetime",
    "losses",
    "magnetics",
    "mains",
    "output",
    "ratings",
    "safety",
    "spacing",
    "storage",
    "supply",
    "surface_path",
    "thermal",
    "uncertainty",
    "valley",
    "videolink",
    "waveform",
]
