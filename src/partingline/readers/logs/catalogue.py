"""`logs/logs.toml`: which logs there are, what each is, and who measured what in it.

Every fault is reported with its line, and all of them at once; a log with a fault in one key is still read without it.
"""

import re
from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import PurePosixPath
from typing import Any

from partingline.model import Evidence, KeyPath, Line, Problem
from partingline.readers.logs.types import KINDS, LogEntry, Notes
from partingline.readers.quantities import QuantityError, parse_quantity
from partingline.readers.unitfile.salvage import parse_around_faults
from partingline.readers.unitfile.toml_lines import dotted, line_index, line_of
from partingline.sources.glossary import quantities

_KIND_NAMES = {
    "load": "load sweep", "sweep": "load sweep", "loadsweep": "load sweep", "line": "line sweep", "linesweep":
    "line sweep", "noload": "no load", "idle": "no load", "standby": "standby", "thermal": "thermal", "soak":
    "thermal", "thermalsoak": "thermal", "temperature": "thermal", "overcurrent": "over-current", "overload":
    "over-current", "sharing": "sharing", "portsharing": "sharing", "loadsharing": "sharing", "ripple": "ripple",
    "loadstep": "load step", "step": "load step", "transient": "load step", "holdup": "hold-up", "inrush": "inrush",
    "discharge": "discharge", "recharge": "recharge", "charge": "recharge",
}  # fmt: skip
_NUMBERS = {
    "offer": ("offer_v", "V", "20 V"),
    "mains": ("mains_v", "V", "115 V"),
    "frequency": ("frequency_hz", "Hz", "60 Hz"),
    "ambient": ("ambient_c", "degC", "23.4 °C"),
    "load": ("load", "1", "100 %"),
    "full_load": ("full_load_a", "A", "3.25 A"),
    "bandwidth": ("bandwidth_hz", "Hz", "20 MHz"),
}
_TEXTS = {"file": "file", "port": "port", "ports": "port", "with": "partner", "sheet": "sheet", "beside": "beside",
          "note": "note"}  # fmt: skip
_KEYS = (*_TEXTS, "kind", *_NUMBERS, "columns", "instruments")
_Index = dict[tuple[str | int, ...], int]


def read_catalogue(text: str, path: str, sha256: str) -> tuple[tuple[LogEntry, ...], tuple[Problem, ...]]:
    """The entries of a `logs.toml` and the problems met, in the order of the file. Never raises for bad content.

    `path` is the name that problems carry (`logs/logs.toml`), `sha256` the digest of the file.
    """
    notes = Notes(path, sha256)
    raw, sound, broken = parse_around_faults(text)
    for fault in broken:
        expected, step = 'TOML, as [[log]] and file = "sweep.csv"', "Correct the line; the rest of the file is read."
        notes.add(Line(fault.line), f"not TOML: {fault.message}", expected, step)
    index = line_index(sound)
    for key in raw:
        if key != "log":
            _unknown(notes, index, (key,), ("log",))
    tables = raw.get("log", [])
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        _add(notes, index, ("log",), "`log` is not a list of tables", "[[log]] with double brackets", "Write [[log]].")
        tables = [tables] if isinstance(tables, dict) else []
    entries = tuple(filter(None, (_entry(table, n, notes, index) for n, table in enumerate(tables))))
    _twice(entries, notes)
    _beside(entries, notes)
    return entries, tuple(notes.problems)


def _entry(table: Mapping[str, Any], number: int, notes: Notes, index: _Index) -> LogEntry | None:
    at: tuple[str | int, ...] = ("log", number)
    values: dict[str, Any] = {"evidence": Evidence(notes.path, notes.sha256, KeyPath(dotted(at), line_of(index, at)))}
    for key, value in table.items():
        if key not in _KEYS:
            _unknown(notes, index, (*at, key), _KEYS)
        elif key in _TEXTS:
            values[_TEXTS[key]] = _text(value, notes, index, (*at, key))
        elif key == "kind":
            values["kind"] = _kind(value, notes, index, (*at, key))
        elif key in _NUMBERS:
            name, unit, example = _NUMBERS[key]
            read = _number(value, unit, example, notes, index, (*at, key))
            values[name] = read[0] if read else None
            if key == "ambient" and read:
                values["ambient_u"] = read[1]
        else:
            values[key] = _names(value, notes, index, (*at, key))
    if not values.get("file"):
        _add(notes, index, at, "a log without `file`", 'file = "sweep.csv"', "Name the log's file.")
        return None
    where = PurePosixPath(values["file"].replace("\\", "/"))
    if where.is_absolute() or ".." in where.parts:
        step = "Copy the log into logs/."
        _add(notes, index, (*at, "file"), f"{values['file']!r} leads out of logs/", "a file in logs/", step)
        return None
    if "kind" not in table and "beside" not in table:
        found, step = f"{values['file']}: no `kind`", "Add it; until then the log gives no facts."
        _add(notes, index, at, found, f"kind = one of {', '.join(KINDS)}", step)
    return LogEntry(**values)


def _text(value: Any, notes: Notes, index: _Index, at: tuple[str | int, ...]) -> str:
    if isinstance(value, list) and all(isinstance(piece, str) for piece in value):
        return "+".join(value)
    if isinstance(value, str):
        return value.strip()
    _add(notes, index, at, f"{value!r}", "text in quotes", "Put it in quotes.")
    return ""


def _kind(value: Any, notes: Notes, index: _Index, at: tuple[str | int, ...]) -> str:
    plain = str(value).strip().lower()
    if plain in KINDS:
        return plain
    squeezed = plain.replace("-", "").replace("_", "").replace(" ", "")
    if squeezed in _KIND_NAMES:
        return _KIND_NAMES[squeezed]
    near = get_close_matches(plain, KINDS, n=1, cutoff=0.5)
    step = f"Did you mean {near[0]!r}?" if near else "Choose the nearest."
    _add(notes, index, at, f"kind {value!r}", f"one of {', '.join(KINDS)}", step)
    return ""


def _number(
    value: Any, unit: str, example: str, notes: Notes, index: _Index, at: tuple[str | int, ...]
) -> tuple[float, float] | None:
    """Value and stated standard uncertainty (0 where none is stated) in the unit asked for."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value), 0.0
    try:
        read = parse_quantity(str(value), unit=unit)
    except QuantityError as error:
        _add(notes, index, at, str(error), f'a quantity, as "{example}"', "Correct it.")
        return None
    if read.unit != unit:
        _add(notes, index, at, f"{value!r} is in {read.unit}", f'a quantity, as "{example}"', "Correct the unit.")
        return None
    return read.value, read.u or 0.0


def _names(value: Any, notes: Notes, index: _Index, at: tuple[str | int, ...]) -> dict[str, str]:
    """A table of texts by quantity; a nested table (`C1 = { port_voltage = ... }`) gives keys with a channel."""
    if not isinstance(value, dict):
        _add(notes, index, at, f"{value!r}", 'a table, as { input_power = "Pin (W)" }', "Write it in braces.")
        return {}
    named: dict[str, str] = {}
    for key, text in value.items():
        if isinstance(text, dict):
            named.update({f"{key}/{inner}": told for inner, told in _names(text, notes, index, (*at, key)).items()})
            continue
        channel, quantity = channel_of(key)
        if quantity not in quantities() and quantity != "time":
            _unknown(notes, index, (*at, key), (*quantities(), "time"))
        named[f"{channel}/{quantity}" if channel else quantity] = str(text)
    return named


def channel_of(key: str) -> tuple[str, str]:
    """Channel and quantity of a key: `C1/port_voltage`, `port:C1/port_voltage`, `port_voltage C1`, `port_voltage`."""
    pieces = [piece for piece in re.split(r"[/\s.]+", key.strip()) if piece]
    quantity = next(
        (piece for piece in pieces if piece in quantities() or piece == "time"), pieces[-1] if pieces else key
    )
    rest = [piece.removeprefix("port:").removeprefix("face:") for piece in pieces if piece != quantity]
    return "-".join(piece for piece in rest if piece.lower() not in ("face", "unit")), quantity


def _twice(entries: tuple[LogEntry, ...], notes: Notes) -> None:
    seen: set[tuple[str, str, str]] = set()
    for entry in entries:
        mark = (entry.file, entry.kind, entry.port)
        if mark in seen and entry.evidence:
            expected = "each log once for a kind and a port"
            notes.add(entry.evidence.place, f"{entry.file} is listed twice", expected, "Remove one entry.")
        seen.add(mark)


def _beside(entries: tuple[LogEntry, ...], notes: Notes) -> None:
    hosts = [entry.file for entry in entries if not entry.beside]
    for entry in entries:
        if entry.beside and entry.beside not in hosts and entry.evidence:
            near = get_close_matches(entry.beside, hosts, n=1, cutoff=0.5)
            step = f"Did you mean {near[0]!r}?" if near else "Add a [[log]] for it."
            found = f"{entry.file}: beside {entry.beside!r}"
            notes.add(entry.evidence.place, found, "the file of a [[log]] with a kind", step)


def _unknown(notes: Notes, index: _Index, at: tuple[str | int, ...], known: tuple[str, ...]) -> None:
    near = get_close_matches(str(at[-1]), known, n=1, cutoff=0.6)
    some = ", ".join(known[:12]) + (", ..." if len(known) > 12 else "")
    step = f"Did you mean {near[0]!r}?" if near else "Correct or remove it."
    _add(notes, index, at, f"unknown key {at[-1]!r}", f"one of {some}", step)


def _add(notes: Notes, index: _Index, at: tuple[str | int, ...], found: str, expected: str, step: str) -> None:
    line = line_of(index, at) or line_of(index, (*at, 0))
    notes.add(KeyPath(dotted(at), line), found, expected, step)
