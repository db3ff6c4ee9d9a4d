"""Parts and what their markings, values and ratings say."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cache

from partingline.facts.statements.values import BORNE, read_value
from partingline.model import Component, Evidence, Key, Number, Part, Route, Sense, Shape, Statement, Text
from partingline.readers.folder import Folder
from partingline.readers.markings import Reading, Said, decode_marking
from partingline.readers.parts import PartRow
from partingline.readers.photos import Mark
from partingline.readers.quantities import QuantityError, parse_quantity
from partingline.sources import quantities, roles

MAIN = {
    "capacitor": "capacitance", "resistor": "resistance", "fusible resistor": "resistance", "inductor": "inductance",
    "thermistor": "cold_resistance", "fuse": "rated_current", "transformer": "magnetising_inductance",
    "transistor": "on_resistance", "bridge": "rated_current", "diode": "rated_current", "varistor": "rated_ac_voltage",
}  # fmt: skip
"""What the value of a part of a kind is."""

READS = "reads:"
"""How the words of a mark begin that says what is printed there."""

_BY_UNIT = {
    "V": "rated_voltage",
    "A": "rated_current",
    "degC": "rated_temperature",
    "h": "rated_life",
    "Ω": "on_resistance",
}
_RATING = re.compile(r"^\s*(?P<name>[^\d±≤≥<>+\-]*?)[\s:=]*(?P<value>[≤≥<>±+\-]?\s*\d.*)$")


@dataclass(frozen=True, slots=True)
class Seen:
    """What a person read of a part on a photo, and where."""

    text: str
    evidence: Evidence


def seen_markings(marks: Iterable[Mark]) -> dict[str, Seen]:
    """Confirmed readings by ref: marks of parts whose words begin with 'reads:'."""
    return {
        mark.subject.removeprefix("part:"): Seen(mark.text[len(READS) :].strip(), mark.evidence)
        for mark in marks
        if mark.subject.startswith("part:") and mark.text.casefold().startswith(READS)
    }


def part_of(row: PartRow, ref: str, folder: Folder, seen: Seen | None = None) -> Part:
    """The part behind one ref of a row, its marking as typed, else as read on a photo.

    A kind that nobody knows is reported: its value and marking cannot be read.
    """
    kind = row["kind"].casefold()
    if kind and kind not in _kinds():
        near = get_close_matches(kind, _kinds(), n=1)
        hint = f"Did you mean '{near[0]}'?" if near else "Without a known kind neither value nor marking is read."
        place = row.at("kind").place
        folder.report(
            "parts.csv", f"unknown kind '{row['kind']}'", f"one of {', '.join(_kinds())}", hint, place, loses=bool(near)
        )
    return Part(
        ref, kind, _role(row, kind, folder), row["stage"], row["board"], row["side"],
        row["marking"] or (seen.text if seen else ""), row["maker"],
        row["part_number"], row["package"], row["note"], row.count, row.at("ref"),
    )  # fmt: skip


def part_statements(row: PartRow, part: Part, folder: Folder, seen: Seen | None = None) -> Iterator[Statement]:
    """What a row says of a part: its number, value, marking and ratings; and what was read of it on a photo."""
    if part.part_number:
        key = Key.of(part.subject, "part_number")
        yield Statement(
            key,
            Text(part.part_number),
            Route.MARKING,
            evidence=(row.at("part_number"),),
            said=part.part_number,
        )
    valued = tuple(_value(row, part, folder))
    yield from valued
    for printed in _printed(row, seen):
        yield from _marking(printed, part, folder, valued)
    yield from _ratings(row, part, folder)


def _value(row: PartRow, part: Part, folder: Folder) -> Iterator[Statement]:
    text, quantity = row["value"], MAIN.get(part.kind)
    if not text or quantity is None:
        return
    for statement in _said(folder, row, "value", Key.of(part.subject, quantity), text, Route.MARKING):
        tolerance = _tolerance(row, part)
        number = statement.value
        if tolerance and isinstance(number, Number) and not number.components and quantity not in BORNE:
            statement = _nominal(statement, number, tolerance)
        yield statement


def _nominal(statement: Statement, number: Number, tolerance: float) -> Statement:
    half = abs(number.value) * tolerance
    value = Number(number.value, (Component(f"tolerance:{statement.key.id}", half, Shape.RECTANGULAR),))
    return replace(statement, value=value, sense=Sense.NOMINAL)


def _tolerance(row: PartRow, part: Part) -> float | None:
    """The tolerance class: told among the ratings, or in the marking."""
    if match := re.search(r"tolerance\s*[±=:]*\s*(\d+(?:[.,]\d+)?)\s*%", row["ratings"]):
        return float(match.group(1).replace(",", ".")) / 100
    for reading in decode_marking(part.marking, part.kind) if part.marking else ():
        said = reading.get("tolerance")
        if reading.fits and said is not None and said.value is not None:
            return said.value
    return None


@dataclass(frozen=True, slots=True)
class _Printed:
    """A marking as it came to be known."""

    text: str
    route: Route
    evidence: tuple[Evidence, ...]


def _printed(row: PartRow, seen: Seen | None) -> Iterator[_Printed]:
    """The typed marking, and what was read on a photo: one and the same where the two agree, since one was copied."""
    typed, cell = row["marking"], row.at("marking")
    if seen and (not typed or _plain(typed) == _plain(seen.text)):
        yield _Printed(seen.text, Route.PHOTOGRAPHED, (seen.evidence, cell) if typed else (seen.evidence,))
        return
    if typed:
        yield _Printed(typed, Route.MARKING, (cell,))
    if seen:
        yield _Printed(seen.text, Route.PHOTOGRAPHED, (seen.evidence,))


def _plain(text: str) -> str:
    return "".join(text.casefold().split())


def _marking(printed: _Printed, part: Part, folder: Folder, valued: tuple[Statement, ...]) -> Iterator[Statement]:
    if part.kind not in MAIN:
        return
    readings = [
        reading for reading in decode_marking(printed.text, part.kind) if reading.fits and reading.kind != "date code"
    ]
    if not readings:
        return
    chosen = _chosen(readings, part, valued)
    if chosen is None:
        told = "; ".join(f"{reading.says} ({reading.scheme})" for reading in readings[:4])
        place = printed.evidence[-1]
        folder.report(
            place.path,
            f"{part.ref}: '{printed.text}' can be read in {len(readings)} ways: {told}",
            "one reading",
            "Write what it is into 'value', or measure it.",
            place.place,
            loses=False,
        )
        return
    known = {statement.key.quantity for statement in valued} if printed.route is Route.MARKING else set()
    for said in chosen.said:
        if said.quantity in known or said.quantity not in quantities() or said.quantity == "part_number":
            continue
        if statement := _decoded(part, said, chosen, printed):
            yield statement


def _chosen(readings: list[Reading], part: Part, valued: tuple[Statement, ...]) -> Reading | None:
    """The reading that the value column confirms, or the one that stands alone."""
    quantity = MAIN[part.kind]
    told = next((s.value.value for s in valued if s.key.quantity == quantity and isinstance(s.value, Number)), None)
    if told is not None:
        fitting = [
            r for r in readings if (said := r.get(quantity)) and said.value and abs(said.value / told - 1) < 0.005
        ]
        return fitting[0] if fitting else (readings[0] if len(readings) == 1 else None)
    values = {said.value for reading in readings if (said := reading.get(quantity))}
    return readings[0] if len(values) <= 1 or readings[0].plausibility >= readings[1].plausibility + 0.3 else None


def _decoded(part: Part, said: Said, reading: Reading, printed: _Printed) -> Statement | None:
    key = Key.of(part.subject, said.quantity)
    note = f"{reading.scheme}: {reading.source} ({reading.evidence})"
    if said.value is None:
        return (
            Statement(key, Text(said.words), printed.route, evidence=printed.evidence, said=printed.text, note=note)
            if said.words
            else None
        )
    if said.low is not None and said.high is not None and said.quantity != "tolerance":
        half = max(said.high - said.value, said.value - said.low)
        value = Number(said.value, (Component(f"tolerance:{key.id}", half, Shape.RECTANGULAR),))
        return Statement(key, value, printed.route, Sense.NOMINAL, printed.evidence, printed.text, note)
    sense = Sense.AT_LEAST if said.quantity in BORNE else Sense.EQUALS
    return Statement(key, Number(said.value), printed.route, sense, printed.evidence, printed.text, note)


def _ratings(row: PartRow, part: Part, folder: Folder) -> Iterator[Statement]:
    for piece in filter(None, (piece.strip() for piece in re.split(r"[;\n|]", row["ratings"]))):
        name, text = _named(piece)
        quantity = _quantity(name) if name else _by_unit(text)
        if quantity is None:
            near = get_close_matches(name.replace(" ", "_"), quantities(), n=1)
            hint = (
                f"Did you mean '{near[0]}'?"
                if near
                else "Write a glossary name and a quantity, as 'rated voltage 400 V'."
            )
            folder.report(
                "parts.csv",
                f"{part.ref}: '{piece}'",
                "ratings such as 'rated voltage 400 V; rated temperature 105 °C'",
                hint,
                row.at("ratings").place,
            )
            continue
        yield from _said(folder, row, "ratings", Key.of(part.subject, quantity), text, Route.DATASHEET)


def _named(piece: str) -> tuple[str, str]:
    """Name and value of one rating: `rated voltage 400 V`, `safety_class X2`, `400 V`."""
    for known in _longest_first():
        if piece.casefold().startswith(known) and not piece[len(known) : len(known) + 1].isalnum():
            return known, piece[len(known) :].strip(" :=")
    match = _RATING.match(piece)
    return (match["name"].strip(), match["value"]) if match else (piece, "")


def _said(folder: Folder, row: PartRow, column: str, key: Key, text: str, route: Route) -> Iterator[Statement]:
    try:
        read = read_value(text, key, decimal_comma=row.decimal_comma, rating=True)
    except ValueError as error:
        folder.report(
            "parts.csv",
            f"{key.subject[5:]}: {error}",
            f"{quantities()[key.quantity].name}, as people write it",
            "Correct the cell.",
            row.at(column).place,
        )
        return
    yield Statement(key, read.value, route, read.sense, (row.at(column),), text, read.note)


def _quantity(name: str) -> str | None:
    return _names().get(name.casefold().strip()) or _names().get(name.casefold().replace(" ", "_"))


@cache
def _names() -> dict[str, str]:
    names: dict[str, str] = {}
    for quantity in quantities().values():
        for name in (quantity.id, quantity.name, *quantity.names):
            names.setdefault(name.casefold(), quantity.id)
    return names


@cache
def _kinds() -> tuple[str, ...]:
    return tuple(sorted({*MAIN, *(kind for role in roles().values() for kind in role.kinds)}))


@cache
def _longest_first() -> tuple[str, ...]:
    return tuple(sorted(_names(), key=len, reverse=True))


def _by_unit(text: str) -> str | None:
    try:
        return _BY_UNIT.get(parse_quantity(text).unit)
    except QuantityError:
        return None


def _role(row: PartRow, kind: str, folder: Folder) -> str:
    told = row["role"].casefold()
    if told:
        for role in roles().values():
            if told in (
                role.id,
                role.id.replace("_", " "),
                role.name.casefold(),
                *(name.casefold() for name in role.names),
            ):
                return role.id
        near = get_close_matches(told, [*roles(), *(role.name for role in roles().values())], n=1)
        hint = f"Did you mean '{near[0]}'?" if near else f"One of {', '.join(roles())}."
        folder.report("parts.csv", f"unknown role '{row['role']}'", "a glossary role", hint, row.at("role").place)
        return ""
    fitting = [role for role in roles().values() if kind in role.kinds and row["stage"].casefold() == role.stage]
    noted = [role for role in fitting if any(name.casefold() in row["note"].casefold() for name in role.names)]
    one = noted or fitting
    return one[0].id if len(one) == 1 else ""
