"""The route table: one line, one fact; one column, one way of knowing it."""

from collections.abc import Sequence

from partingline.facts.show import condition_text, split, subject_text
from partingline.facts.statements.label import TAKEN_OVER
from partingline.model import Fact, Interval, Key, Number, Route, Standing, Statement, Unit
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import Amount, Paragraph, RouteCell, RouteRow, RouteTable, Section, plain
from partingline.sources import quantities

COLUMNS = {
    "label": (Route.LABEL, Route.MARKING, Route.DATASHEET),
    "listing": (Route.LISTING,),
    "offered": (Route.CAPTURED,),
    "measured": (Route.MEASURED, Route.PHOTOGRAPHED),
    "computed": (Route.COMPUTED,),
    "spoken": (Route.SPOKEN,),
}
CLAIMS = frozenset({Route.LABEL, Route.LISTING, Route.SPOKEN})
_SUFFIX = {Route.MARKING: "marking", Route.DATASHEET: "data sheet", Route.PHOTOGRAPHED: "photo"}
MOST_ROWS = 40
UNCLAIMED = (1, 1)


def claims(unit: Unit, facts: Sequence[Fact], ledger: Ledger) -> Section:
    """Facts that are known by more than one route, and claims that only one route knows."""
    chosen = [fact for fact in facts if _columns(fact) >= 2]
    lone = [fact for fact in facts if _columns(fact) == 1 and fact.preferred.route in CLAIMS and _is_own_figure(fact)]
    chosen.sort(key=lambda fact: (*_weight(fact), *_order(unit, fact)))
    most = max(MOST_ROWS, sum(_weight(fact) < UNCLAIMED for fact in chosen))
    shown = [*chosen[:most], *sorted(lone, key=lambda fact: _order(unit, fact))]
    used = [name for name, routes in COLUMNS.items() if any(s.route in routes for f in shown for s in f.statements)]
    if not shown:
        return Section("claims", "Claims beside evidence", (Paragraph(plain("Nothing is known by two routes yet.")),))
    note = "one line, one fact; one column, one way of knowing it"
    if len(chosen) > most:
        note += f"; {len(chosen) - most} more are known twice and claimed by nobody"
    table = RouteTable(tuple(used), tuple(_row(fact, used, ledger) for fact in shown))
    return Section("claims", "Claims beside evidence", (table,), note)


def _weight(fact: Fact) -> tuple[int, int]:
    """What is contradicted before what is claimed before what is only known twice."""
    claimed = any(statement.route in CLAIMS for statement in fact.statements)
    return (int(fact.standing is not Standing.CONTRADICTED), int(not claimed))


def _columns(fact: Fact) -> int:
    return sum(any(statement.route in routes for statement in fact.statements) for routes in COLUMNS.values())


def _is_own_figure(fact: Fact) -> bool:
    """A figure that is claimed as such, not taken over from another line of the label."""
    return isinstance(fact.preferred.value, Number | Interval) and not fact.preferred.note.startswith(TAKEN_OVER)


def _row(fact: Fact, used: Sequence[str], ledger: Ledger) -> RouteRow:
    cells = tuple(_cell(fact, COLUMNS[name], ledger) for name in used)
    subject = "" if fact.key.subject == "unit" else subject_text(fact.key.subject)
    at = dict(fact.key.at)
    offer = at.pop("offer", None)
    name = quantities()[fact.key.quantity].name
    if fact.key.subject.startswith("ports:"):
        name = "together"
    elif isinstance(offer, float) and fact.key.quantity.endswith("current"):
        name = f"{offer:g}\u202fV {name}"
        offer = None
    rest = {**({"offer": offer} if offer is not None else {}), **at}
    title = " · ".join(filter(None, (subject, name)))
    return RouteRow(title, cells, fact.standing, condition_text(Key.of("", "", **rest)), ledger.ref(fact.key))


def _cell(fact: Fact, routes: tuple[Route, ...], ledger: Ledger) -> tuple[RouteCell, ...]:
    said: dict[str, RouteCell] = {}
    for statement, standing in zip(fact.statements, fact.standings, strict=True):
        if statement.route in routes:
            amount = _amount(fact, statement, ledger)
            said.setdefault(amount.value, RouteCell(amount, standing is Standing.CONTRADICTED))
    return tuple(said.values())[:2]


def _amount(fact: Fact, statement: Statement, ledger: Ledger) -> Amount:
    """As printed; what is only claimed shows no uncertainty, since nobody claimed one."""
    value = statement.value
    if statement.route in CLAIMS and isinstance(value, Number):
        number, unit = split(value.value, fact.key.quantity)
        return Amount(number, "", unit, _suffix(statement), ledger.ref(fact.key))
    return ledger.amount(fact, statement, _suffix(statement))


def _suffix(statement: Statement) -> str:
    return "trips" if statement.note.startswith("trips") else _SUFFIX.get(statement.route, "")


def _order(unit: Unit, fact: Fact) -> tuple[int, int, float, str]:
    """Ports and powers first, by voltage from the highest; the unit; then parts as they are listed."""
    subject = fact.key.subject
    ports = [port.subject for port in unit.ports]
    parts = [part.subject for part in unit.parts]
    offer = fact.key.condition("offer")
    voltage = -offer if isinstance(offer, float) else 0.0
    if subject in ports:
        return (0, ports.index(subject) * 10 + (0 if fact.key.at else 5), voltage, fact.key.id)
    if subject.startswith("ports:"):
        return (1, 0, voltage, fact.key.id)
    if subject == "unit":
        return (2, 0, voltage, fact.key.id)
    return (3, parts.index(subject) if subject in parts else -1, voltage, fact.key.id)
