"""Statements of `unit.toml`: who it is, its body, single readings, assumptions and choices."""

from collections.abc import Iterator, Mapping
from difflib import get_close_matches

from partingline.facts.statements.values import read_value
from partingline.model import Basis, Evidence, Key, Route, Sense, Statement, Text
from partingline.readers.folder import Folder
from partingline.readers.logs.accuracy import Accuracy, AccuracyError, parse_accuracy
from partingline.readers.quantities import QuantityError, parse_quantity
from partingline.readers.unitfile import ReadingTable, ReadUnit
from partingline.sources import quantities

CONDITIONS = {
    "mains": "V",
    "offer": "V",
    "load": "1",
    "frequency": "Hz",
    "with": "",
    "face": "",
    "sender": "",
    "state": "",
}
Instruments = Mapping[tuple[str, str], Accuracy]
"""Accuracy statements by instrument and quantity."""


def instruments(read: ReadUnit, folder: Folder) -> dict[tuple[str, str], Accuracy]:
    """Every accuracy statement that can be read."""
    found: dict[tuple[str, str], Accuracy] = {}
    for name, table in read.data.instrument.items():
        for quantity, text in table.items():
            if quantity in ("name", "note", "serial"):
                continue
            place = read.at("instrument", name, quantity).place
            if quantity not in quantities():
                _unknown_quantity(folder, quantity, read.at("instrument", name, quantity))
                continue
            try:
                found[name, quantity] = parse_accuracy(text, quantities()[quantity].unit)
            except (AccuracyError, QuantityError) as error:
                folder.report(
                    "unit.toml",
                    str(error),
                    "as '0.05 % rdg + 0.02 % of 100 W'",
                    "Copy it from the manual.",
                    place,
                )
    return found


def unit_statements(read: ReadUnit, folder: Folder, accuracies: Instruments) -> Iterator[Statement]:
    """Identity, body and single readings."""
    for name in ("maker", "model"):
        if text := getattr(read.data.unit, name):
            yield Statement(Key.of("unit", name), Text(text), Route.LABEL, evidence=(read.at("unit", name),), said=text)
    body = read.data.body
    _instrument(read, folder, body.instrument, read.at("body", "instrument"))
    for name in ("length", "width", "height", "mass"):
        if text := getattr(body, name):
            yield from _said(
                folder,
                read.at("body", name),
                Key.of("unit", name),
                text,
                accuracies,
                body.instrument,
                Route.MEASURED,
            )
    if body.material:
        key = Key.of("unit", "case_material")
        yield Statement(
            key, Text(body.material), Route.MEASURED, evidence=(read.at("body", "material"),), said=body.material
        )
    for index, reading in enumerate(read.data.reading):
        yield from _reading(read, folder, index, reading, accuracies)


def assumptions(read: ReadUnit, folder: Folder) -> Iterator[Statement]:
    """What the person assumes in place of the built-in assumptions."""
    for id_, table in read.data.assume.items():
        evidence = read.at("assume", id_)
        key = _key(folder, id_, evidence)
        if key is None:
            continue
        for statement in _said(folder, evidence, key, table.value, {}, "", Route.ASSUMED):
            basis = Basis("assumed by the person", table.reason)
            yield Statement(
                key,
                statement.value,
                Route.ASSUMED,
                statement.sense,
                (evidence,),
                table.value,
                table.reason,
                basis,
            )


def preferences(read: ReadUnit, folder: Folder) -> dict[Key, tuple[Route, str]]:
    """The routes that the person prefers, with their reasons."""
    found: dict[Key, tuple[Route, str]] = {}
    for id_, table in read.data.prefer.items():
        if (key := _key(folder, id_, read.at("prefer", id_))) is not None:
            found[key] = (Route(table.route), table.reason)
    return found


def conditions(told: Mapping[str, str]) -> dict[str, float | str]:
    """Conditions as written, in SI units; ValueError names the one that is no condition or no quantity."""
    read: dict[str, float | str] = {}
    for name, text in told.items():
        if name not in CONDITIONS:
            near = get_close_matches(name, CONDITIONS, n=1)
            raise ValueError(f"unknown condition {name!r}" + (f"; did you mean {near[0]!r}?" if near else ""))
        unit = CONDITIONS[name]
        read[name] = parse_quantity(text, unit=unit).value if unit else text
    return read


def _reading(
    read: ReadUnit, folder: Folder, index: int, reading: ReadingTable, accuracies: Instruments
) -> Iterator[Statement]:
    evidence = read.at("reading", index, "value")
    if reading.quantity not in quantities():
        _unknown_quantity(folder, reading.quantity, read.at("reading", index, "quantity"))
        return
    try:
        at = conditions(reading.at)
    except ValueError as error:
        expected = f"conditions among {', '.join(CONDITIONS)}"
        folder.report("unit.toml", str(error), expected, "Correct it.", read.at("reading", index, "at").place)
        return
    key = Key.of(reading.subject, reading.quantity, **at)
    _instrument(read, folder, reading.instrument, read.at("reading", index, "instrument"))
    photo = folder.pointed(reading.photo, read.at("reading", index, "photo")) if reading.photo else ()
    seen = (evidence, *photo)
    for one in _said(folder, evidence, key, reading.value, accuracies, reading.instrument, Route(reading.route)):
        sense = Sense(reading.sense) if reading.sense else one.sense
        note = " ".join(filter(None, (reading.note, one.note)))
        basis = Basis("assumed by the person", reading.note) if one.route is Route.ASSUMED else None
        yield Statement(key, one.value, one.route, sense, seen, reading.value, note, basis)


def _said(
    folder: Folder,
    evidence: Evidence,
    key: Key,
    text: str,
    accuracies: Instruments,
    instrument: str,
    route: Route,
) -> Iterator[Statement]:
    try:
        accuracy = accuracies.get((instrument, key.quantity))
        exact = route is Route.ASSUMED
        value = read_value(text, key, instrument=instrument, accuracy=accuracy, exact=exact)
    except ValueError as error:
        example = f"a {quantities()[key.quantity].name} in {quantities()[key.quantity].shown}"
        folder.report(evidence.path, str(error), example, "Write number and unit.", evidence.place)
        return
    yield Statement(key, value.value, route, value.sense, (evidence,), text, value.note)


def _instrument(read: ReadUnit, folder: Folder, name: str, evidence: Evidence) -> None:
    """Say that an instrument has no table; its readings then share nothing and have no accuracy statement."""
    if not name or name in read.data.instrument:
        return
    near = get_close_matches(name, read.data.instrument, n=1, cutoff=0.5)
    hint = f"Did you mean '{near[0]}'?" if near else f"Add [instrument.{name}], or leave it out."
    found, expected = f"instrument '{name}' is not known", f"a table [instrument.{name}]"
    folder.report(evidence.path, found, expected, hint, evidence.place, loses=False)


def _key(folder: Folder, id_: str, evidence: Evidence) -> Key | None:
    try:
        key = Key.parse(id_)
    except ValueError as error:
        folder.report(evidence.path, str(error), "SUBJECT/QUANTITY", "Correct the id.", evidence.place)
        return None
    if key.quantity not in quantities():
        _unknown_quantity(folder, key.quantity, evidence)
        return None
    return key


def _unknown_quantity(folder: Folder, quantity: str, evidence: Evidence) -> None:
    near = get_close_matches(quantity, quantities(), n=1)
    hint = f"Did you mean '{near[0]}'?" if near else "docs/glossary.md lists them."
    folder.report(evidence.path, f"unknown quantity '{quantity}'", "a glossary id", hint, evidence.place)
