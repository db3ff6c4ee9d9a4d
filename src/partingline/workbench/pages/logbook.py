"""The bench logs of a unit: what there is, and one of them in full with its columns, segments and budgets."""

import json
from collections.abc import Sequence
from itertools import islice
from pathlib import Path
from typing import Any

from partingline.facts.budget import cause_text
from partingline.facts.one_log import OneLog
from partingline.facts.show import key_text, show_fact, show_value
from partingline.model import Fact
from partingline.readers.logs import Log
from partingline.readers.logs.names import LOGGABLE
from partingline.readers.logs.types import KINDS, Column
from partingline.sources import quantities
from partingline.workbench.editing.toml_form import TomlForm
from partingline.workbench.live import LiveUnit, Shown
from partingline.workbench.pages.fields import toml_field
from partingline.workbench.uploads import ENDINGS

FILE = "logs/logs.toml"
TOLD = ("kind", "port", "with", "offer", "mains", "frequency", "ambient", "full_load", "note")
"""What logs.toml can say of a log, beside its columns."""
_HOW: dict[str, dict[str, Any]] = {
    "kind": {"choices": ("", *KINDS)}, "offer": {"hint": "as 20 V"}, "mains": {"hint": "as 230 V"},
    "frequency": {"hint": "as 50 Hz"}, "ambient": {"hint": "as 23.5 ± 1 °C"}, "with": {"hint": "other ports in use"},
    "full_load": {"hint": "the current that counts as 100 %"},
}  # fmt: skip
_MOST_LINES, _MOST_CELLS = 6, 3
_NOTABLE = 0.01


def logbook(unit: LiveUnit, shown: Shown, wanted: str) -> dict[str, Any]:
    """The list of logs, and the wanted one; without a wish the first that nobody described yet, else the first."""
    text, form = unit.writer.read(FILE), TomlForm(FILE)
    rows = {form.look(text, (*path, "file"))[0]: path for path, _, _ in form.rows(text)}
    names = [name.partition("/")[2] for name in shown.opened.folder.names("logs", *ENDINGS["logs"])]
    read = {log.path.partition("/")[2]: log for log in shown.opened.logs}
    logs = [_line(name, read.get(name), name in rows) for name in names]
    order = [*(one["name"] for one in logs if not one["named"]), *names]
    chosen = wanted if wanted in names else next(iter(order), "")
    told: dict[str, Any] = {
        "logs": logs,
        "kinds": KINDS,
        "chosen_log": None,
        "log_fields": (),
        "log_path": rows.get(chosen),
    }
    if chosen:
        told["chosen_log"] = _whole(unit.root / "logs" / chosen, chosen, shown, unit)
        versions = {"columns": "absent", "instruments": "absent"}
        if chosen in rows:
            versions = {key: form.look(text, (*rows[chosen], key))[1] for key in versions}
            told["log_fields"] = [
                toml_field(unit, (*rows[chosen], key), key.replace("_", " "), file=FILE, **_HOW.get(key, {}))
                for key in TOLD
            ]
        told["versions"] = versions
    return told


def _line(name: str, log: Log | None, named: bool) -> dict[str, Any]:
    if log is None:
        return {"name": name, "kind": "", "told": "", "samples": 0, "problems": 0, "named": named}
    entry = log.entry
    parts = (
        "+".join(entry.ports), _given(entry.offer_v, "V"),
        f"{_given(entry.mains_v, 'V')} mains" if entry.mains_v else "",
        _given(entry.ambient_c, "°C"),
    )  # fmt: skip
    return {
        "name": name, "kind": entry.kind, "told": ", ".join(filter(None, parts)), "samples": len(log.time_s),
        "problems": len(log.problems), "named": named,
    }  # fmt: skip


def _given(value: float | None, unit: str) -> str:
    return "" if value is None else f"{value:g}\u202f{unit}"


def _whole(path: Path, name: str, shown: Shown, unit: LiveUnit) -> dict[str, Any]:
    one = unit.one_log(name)
    log = one.log
    head = _first_cells(path, log)
    segments = [
        {
            "start": float(log.time_s[p.first]), "settled": float(log.time_s[p.settled_first]),
            "end": float(log.time_s[p.last]), "steady": p.settled, "drift": p.drift, "why": p.why,
            "rows": (int(log.rows[p.first]), int(log.rows[p.last])),
        }
        for p in one.plateaus
    ]  # fmt: skip
    return {
        "name": name, "kind": log.entry.kind, "samples": len(log.time_s), "read": bool(log.series),
        "length": float(log.time_s[-1] - log.time_s[0]) if len(log.time_s) else 0.0,
        "columns": [_column(column, head, log) for column in log.columns], "segments": segments,
        "marks": json.dumps([[s["settled"], s["end"], s["steady"]] for s in segments]),
        "results": _results(one, shown), "problems": [str(problem) for problem in one.problems],
        "meters": _meters(unit),
    }  # fmt: skip


def _meters(unit: LiveUnit) -> list[str]:
    data = TomlForm("unit.toml").look(unit.writer.read("unit.toml"), ("instrument",))[0]
    rows = data if isinstance(data, list) else []
    named = [str(row.get("id", "")) for row in rows if isinstance(row, dict)]
    return [name for name in named if name] or (sorted(data) if isinstance(data, dict) else [])


def _column(column: Column, head: Sequence[Sequence[str]], log: Log) -> dict[str, Any]:
    fitting = [id_ for id_ in LOGGABLE if not column.si or quantities()[id_].unit == column.si]
    choices = [("", "not read"), ("time", "time"), *((id_, quantities()[id_].name) for id_ in fitting)]
    if column.quantity and column.quantity not in dict(choices):
        known = quantities().get(column.quantity)
        choices.append((column.quantity, known.name if known else column.quantity))
    cells = [row[column.index] for row in head if column.index < len(row)]
    key = f"{column.channel}/{column.quantity}" if column.channel else column.quantity
    meter = log.entry.instruments.get(key, log.entry.instruments.get(column.quantity, ""))
    return {
        "index": column.index, "name": column.name, "quantity": column.quantity, "channel": column.channel,
        "how": column.how if column.quantity else "not recognised", "choices": choices, "cells": ", ".join(cells),
        "meter": meter,
    }  # fmt: skip


def _first_cells(path: Path, log: Log) -> list[list[str]]:
    """A few rows as they stand in a text; none of a spreadsheet."""
    if path.suffix.lower() == ".xlsx" or not log.delimiter or not len(log.rows):
        return []
    first = int(log.rows[0])
    with path.open("r", encoding=log.encoding or "utf-8", errors="replace") as stream:
        lines = list(islice(stream, first - 1, first - 1 + _MOST_CELLS))
    return [[cell.strip().strip('"') for cell in line.rstrip("\r\n").split(log.delimiter)] for line in lines]


def _results(one: OneLog, shown: Shown) -> list[dict[str, Any]]:
    return [_result(fact, one, shown) for fact in one.facts]


def _result(fact: Fact, one: OneLog, shown: Shown) -> dict[str, Any]:
    told = one.budgets.get(fact.key.id)
    lines = [
        (cause_text(line), line.shape.value, f"{line.share * 100:.0f} %")
        for line in (told.lines if told else ())[:_MOST_LINES]
        if line.share >= _NOTABLE
    ]
    rest = "" if told is None else f"{(1 - sum(line.share for line in told.lines[: len(lines)])) * 100:.0f} %"
    there = shown.opened.book.fact(fact.key)
    return {
        "name": key_text(fact.key), "shown": show_fact(fact), "ref": fact.key.id if there else "", "lines": lines,
        "rest": rest, "u": show_value(told.u, fact.key.quantity) if told else "",
        "most": cause_text(told.dominant) if told and told.dominant else "",
    }  # fmt: skip
