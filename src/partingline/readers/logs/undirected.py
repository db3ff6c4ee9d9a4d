"""Columns that tell a unit but not which side they belong to: `U (V)`, `P (W)`. The values and the kind of log decide
where only one reading is possible; it is told, so that a person can pin another.
"""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from partingline.model import Cell
from partingline.readers.logs.columns import split_header, tokens
from partingline.readers.logs.layout import Layout
from partingline.readers.logs.names import NOT_MEASURED
from partingline.readers.logs.types import Column, Floats, LogEntry, Notes
from partingline.sources.glossary import quantity

_MAINS_ABOVE_V = 70.0


def settle(
    columns: list[Column], values: Mapping[int, Floats], entry: LogEntry, layout: Layout, notes: Notes
) -> list[Column]:
    """The columns with those settled that were left open and can be only one thing."""
    open_ = [c for c in columns if not c.quantity and c.si in ("W", "V", "A") and c.index in values]
    open_ = [c for c in open_ if not set(tokens(split_header(c.name)[0])) & NOT_MEASURED]
    taken = {c.quantity for c in columns}
    out = list(columns)
    for unit in ("W", "V", "A"):
        same = [c for c in open_ if c.si == unit]
        if len(same) != 1:
            if same:
                _ask(same, layout, notes)
            continue
        id_ = _only(unit, values[same[0].index], entry, taken)
        if not id_:
            _ask(same, layout, notes)
            continue
        out[same[0].index] = replace(same[0], quantity=id_, how="unit alone")
        found = f"column {same[0].name!r} does not tell its side"
        step = f'Taken as {quantity(id_).name}; pin it: columns = {{ {id_} = "{same[0].name}" }}.'
        place = Cell(max(layout.header_row, 1), same[0].name)
        notes.add(place, found, "a name such as Pin or Vout", step, loses=False)
    return out


def _only(unit: str, values: Floats, entry: LogEntry, taken: set[str]) -> str:
    """The one quantity that a column of this unit can be, '' where two are possible."""
    if unit == "W":
        wanted = "input_power"
    elif unit == "V":
        typical = float(np.nanmedian(np.abs(values))) if np.isfinite(values).any() else 0.0
        wanted = "input_voltage" if typical > _MAINS_ABOVE_V else "port_voltage"
    else:
        wanted = "input_current" if entry.kind == "no load" or "output_current" in taken else "output_current"
    return "" if wanted in taken else wanted


def _ask(columns: list[Column], layout: Layout, notes: Notes) -> None:
    named = ", ".join(repr(column.name) for column in columns)
    step = 'Pin it: columns = { port_voltage = "..." }.'
    notes.add(
        Cell(max(layout.header_row, 1), columns[0].name),
        f"not clear what {named} is",
        "a name such as Pin or Vout",
        step,
        loses=False,
    )
