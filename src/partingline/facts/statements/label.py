"""Statements of the rating label, each leading back to the line of `unit.toml` where it is typed."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from partingline.facts.statements.video import video_claims, without_modes
from partingline.model import Evidence, Interval, Key, KeyPath, Number, Route, Sense, Statement, Text, Unit, Value
from partingline.readers.folder import Folder
from partingline.readers.label import Label, LabelStatement, read_label
from partingline.readers.unitfile import ReadUnit
from partingline.sources import quantities

TAKEN_OVER = "the highest power printed"
"""How the note of a unit's rating begins that is printed for a port only."""

OUTPUTS = frozenset({"available_current", "pps_current", "pps_min_voltage", "avs_power", "output_power"})
_BOUNDS = {"rated_input_current": Sense.AT_MOST, "rated_power": Sense.AT_LEAST}


@dataclass(frozen=True)
class _Where:
    """How a line of the label becomes evidence."""

    first_line: int
    read: ReadUnit
    photo: tuple[Evidence, ...]

    def at(self, line: int) -> tuple[Evidence, ...]:
        place = KeyPath("label.text", self.first_line + line - 1 if self.first_line else 0)
        typed = self.read.file.at(place) if self.read.file else Evidence("unit.toml", "", place)
        return (typed, *self.photo)


def label_statements(read: ReadUnit, folder: Folder, unit: Unit) -> Iterator[Statement]:
    """Everything the label says that the glossary knows; what could not be read is reported."""
    table = read.data.label
    if not table.text.strip():
        return
    photo = folder.pointed(table.photo, read.at("label", "photo")) if table.photo else ()
    where = _Where(read.text_line("label", "text"), read, photo)
    label = read_label(without_modes(table.text))
    _report(label, where, folder, unit)
    said = [_of_only_port(statement, unit) for statement in _all(label, where)]
    yield from said
    yield from _total(said)
    for number, line in enumerate(table.text.splitlines(), start=1):
        yield from video_claims(line, line.strip(), where.at(number), Route.LABEL)


def _of_only_port(statement: Statement, unit: Unit) -> Statement:
    """An output without a port's name belongs to the port of a unit that has just one."""
    if statement.key.subject != "unit" or statement.key.quantity not in OUTPUTS or len(unit.ports) != 1:
        return statement
    return replace(statement, key=replace(statement.key, subject=unit.ports[0].subject))


def _all(label: Label, where: _Where) -> Iterator[Statement]:
    for one in label.statements:
        evidence = where.at(one.line)
        if one.what == "offer":
            yield from _offer(one, evidence)
        elif one.what == "sharing":
            yield from _sharing(one, evidence)
        elif one.what == "rated_power":
            yield from _power(one, evidence)
        elif one.what in quantities():
            yield from _plain(one, evidence)


def _offer(one: LabelStatement, evidence: tuple[Evidence, ...]) -> Iterator[Statement]:
    offer = one.offer
    if offer is None:
        return
    for port in one.ports or ("",):
        subject = f"port:{port}" if port else "unit"
        voltage = offer.voltage.high if offer.voltage.high is not None else offer.voltage.value
        if offer.kind == "fixed" and offer.current is not None:
            yield _at_least(Key.of(subject, "available_current", offer=voltage), offer.current.value, one, evidence)
        if offer.kind == "PPS" and offer.current is not None:
            yield _at_least(Key.of(subject, "pps_current", offer=voltage), offer.current.value, one, evidence)
            if offer.voltage.low is not None:
                low = Key.of(subject, "pps_min_voltage", offer=voltage)
                yield Statement(low, Number(offer.voltage.low), Route.LABEL, Sense.EQUALS, evidence, one.text)
        if offer.kind == "AVS" and offer.power is not None:
            yield _at_least(Key.of(subject, "avs_power", offer=voltage), offer.power.value, one, evidence)


def _power(one: LabelStatement, evidence: tuple[Evidence, ...]) -> Iterator[Statement]:
    if one.quantity is None:
        return
    for port in one.ports or ("",):
        yield _at_least(Key.of(f"port:{port}" if port else "unit", "output_power"), one.quantity.value, one, evidence)


def _sharing(one: LabelStatement, evidence: tuple[Evidence, ...]) -> Iterator[Statement]:
    powers = [quantity.value for quantity in one.quantities]
    if not one.ports or not powers:
        return
    together = Key.of(f"ports:{'+'.join(sorted(one.ports))}", "output_power")
    yield _at_least(together, sum(powers), one, evidence)
    if len(powers) == len(one.ports) > 1:
        for port, power in zip(one.ports, powers, strict=True):
            others = "+".join(sorted(set(one.ports) - {port}))
            yield _at_least(Key.of(f"port:{port}", "output_power", **{"with": others}), power, one, evidence)


def _plain(one: LabelStatement, evidence: tuple[Evidence, ...]) -> Iterator[Statement]:
    subjects = [f"port:{port}" for port in one.ports] or ["unit"]
    value = _value(one)
    if value is None:
        return
    sense = Sense.WITHIN if isinstance(value, Interval) else _BOUNDS.get(one.what, Sense.EQUALS)
    for subject in subjects:
        yield Statement(Key.of(subject, one.what), value, Route.LABEL, sense, evidence, one.text, " ".join(one.notes))


def _value(one: LabelStatement) -> Value | None:
    if not one.quantities:
        return Text(one.words) if one.words else None
    bounds = [bound for q in one.quantities for bound in (q.low, q.high, q.value) if bound is not None]
    if quantities()[one.what].is_text:
        return Text(one.text)
    if one.quantities[0].sense == "within" or len(one.quantities) > 1:
        return Interval(min(bounds), max(bounds))
    return Number(one.quantities[0].value)


def _at_least(key: Key, value: float, one: LabelStatement, evidence: tuple[Evidence, ...]) -> Statement:
    return Statement(key, Number(value), Route.LABEL, Sense.AT_LEAST, evidence, one.text, " ".join(one.notes))


def _total(said: Iterable[Statement]) -> Iterator[Statement]:
    """The rating of the whole unit: what is printed as such, or the highest power printed for ports."""
    powers = [s for s in said if s.key.quantity == "output_power" and isinstance(s.value, Number) and not s.key.at]
    if not powers or any(s.key.subject == "unit" for s in powers):
        return
    highest = max(powers, key=lambda s: s.value.value if isinstance(s.value, Number) else 0.0)
    note = f"{TAKEN_OVER} ({highest.key.subject.partition(':')[2]})"
    yield Statement(
        Key.of("unit", "output_power"), highest.value, Route.LABEL, Sense.AT_LEAST, highest.evidence, highest.said, note
    )


def _report(label: Label, where: _Where, folder: Folder, unit: Unit) -> None:
    known = f"{unit.maker} {unit.model} {unit.title}".casefold().split()
    for stretch in label.unread:
        if not set(stretch.text.casefold().split()) <= set(known):
            place = where.at(stretch.line)[0].place
            step = "Nothing, if it is of no use; else state it as a [[reading]]."
            folder.report(
                "unit.toml", f"not read: '{stretch.text}'", "ratings, offers, marks", step, place, loses=False
            )
    for problem in label.problems:
        place = where.at(problem.line)[0].place
        folder.report("unit.toml", f"'{problem.found}'", problem.expected, problem.next_step, place)
