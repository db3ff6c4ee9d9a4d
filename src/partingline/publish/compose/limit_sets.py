"""Which sets of efficiency limits hold for a unit of its date, and which were or will be others."""

from datetime import date
from math import isnan

from partingline.facts.opened import Opened
from partingline.findings.supplied import PROGRAMMES, Programme, dated
from partingline.model import Key, Number
from partingline.publish.document import Align, Column, Table, TableCell, TableGroup, TableRow, plain
from partingline.sources.supply_limits import period


def limit_sets(opened: Opened) -> Table | None:
    """One row a set: its limits for the unit's power at a basic voltage, its dates, and whether it is in force; None
    where the power is not known."""
    rated = opened.book.fact(Key.of("unit", "output_power"))
    if rated is None or not isinstance(rated.preferred.value, Number):
        return None
    day, what = dated(opened.unit, opened.book)
    head = f"{what} {_said(day)}" if day else "date not known"
    columns = (Column("limits"), Column("average", Align.RIGHT), Column("no load", Align.RIGHT), Column("from"),
               Column("until"), Column(head))  # fmt: skip
    rows = tuple(_row(programme, rated.value, day) for programme in PROGRAMMES)
    caption = f"For {rated.value:g} W at a basic voltage. Verdicts are given on the sets in force."
    return Table(columns, (TableGroup("", rows),), caption)


def _row(programme: Programme, power: float, day: date | None) -> TableRow:
    held = period(programme.id)
    force = {True: "in force", False: "not in force", None: "undecided"}[programme.in_force(day)]
    average, no_load = (float(programme.limit(metric, "basic")(power)) for metric in ("average", "no-load"))
    values = ("" if isnan(average) else f"{average * 100:.4g} %", "" if isnan(no_load) else f"{no_load:g} W")
    told = (programme.label, *values, _said(held.begins), _said(held.ends), force)
    return TableRow(tuple(TableCell(plain(text)) for text in told))


def _said(day: date | None) -> str:
    return f"{day.day} {day:%B %Y}" if day else ""
