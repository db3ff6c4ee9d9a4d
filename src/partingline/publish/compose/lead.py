"""The verdict in the first sentence, in plain words made from the findings, and the figures that the trade asks for."""

from collections.abc import Sequence

from partingline.facts import Book
from partingline.facts.show import condition_text, show_fact, show_value, subject_text
from partingline.model import Fact, Finding, Key, Route, Standing, Unit, Verdict
from partingline.publish.compose.ledger import Ledger, unbroken
from partingline.publish.document import KeyFigure, Span, Spans
from partingline.sources import quantities

NUMBERS = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve")
MOST_NAMED = 5
_OF_TEST = ("energy.loads_by_derating", "energy.mains_within_method", "energy.no_load_uncertainty")
"""Rules on how it was measured, which set the unit no limit."""


def faults(findings: Sequence[Finding]) -> list[list[Finding]]:
    """Findings that fall short, those on one fact together: one fault may break several rules."""
    grouped: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.verdict is Verdict.FALLS_SHORT:
            key = finding.key or (finding.used[0] if finding.used else None)
            grouped.setdefault(key.id if key else finding.rule + finding.subject, []).append(finding)
    return list(grouped.values())


def lead(unit: Unit, findings: Sequence[Finding], ledger: Ledger) -> Spans:
    """`Delivers its 65 W and meets every efficiency limit that applies. Four things fall short: ...`"""
    spans = [*_power(unit, ledger), *(_energy(findings) if unit.fed_by_mains else _end(unit, ledger))]
    short = faults(findings)
    if not short:
        return (*spans, Span("Nothing that was judged falls short."))
    count = NUMBERS[len(short)] if len(short) < len(NUMBERS) else str(len(short))
    spans += [
        Span(f"{count} thing{'s' if len(short) > 1 else ''} fall{'' if len(short) > 1 else 's'} short", "findings")
    ]
    spans.append(Span(": "))
    for index, fault in enumerate(short[:MOST_NAMED]):
        joint = "" if index == 0 else (", and " if index == len(short) - 1 else ", ")
        spans += [Span(joint), *_brief(fault, ledger)]
    if len(short) > MOST_NAMED:
        spans.append(Span(f", and {len(short) - MOST_NAMED} more"))
    return (*spans, Span("."))


def _power(unit: Unit, ledger: Ledger) -> Spans:
    rating = ledger.book.fact(Key.of("unit", "output_power"))
    if rating is None:
        return (Span(f"A {unit.kind} without a power rating in the folder. "),)
    value = show_value(rating.value, "output_power")
    facts = [ledger.book.fact(Key.of(port.subject, "output_power")) for port in unit.ports]
    own = [fact for fact in facts if fact is not None and _claims(fact, rating.value)]
    measured = [fact for fact in own if fact.preferred.route.is_evidence]
    if any(_contradicted(fact) for fact in measured):
        return (Span("Does not deliver its "), Span(value, ledger.ref(rating.key)), Span("."), Span(" "))
    verb = "Delivers its " if measured else "Is rated "
    return (Span(verb), Span(value, ledger.ref(rating.key)))


def _contradicted(fact: Fact) -> bool:
    """Whether a claim is; what was only said wrongly is no matter of the unit."""
    pairs = zip(fact.statements, fact.standings, strict=True)
    return any(standing is Standing.CONTRADICTED for one, standing in pairs if one.route is not Route.SPOKEN)


def _claims(fact: Fact, power: float) -> bool:
    return any(getattr(s.value, "value", 0.0) >= power - 0.5 for s in fact.statements)


def _end(unit: Unit, ledger: Ledger) -> Spans:
    """Of a power bank what it gives; else nothing, since no limits on efficiency hold where no mains come in."""
    energy = _most(ledger.book, "delivered_energy")
    if unit.kind.casefold() != "power bank" or energy is None:
        return (Span(". " if ledger.book.fact(Key.of("unit", "output_power")) else ""),)
    return (Span(" and gives "), Span(show_fact(energy), ledger.ref(energy.key)), Span(" from full. "))


def _most(book: Book, quantity: str) -> Fact | None:
    return max(book.find(quantity, "port:"), key=lambda fact: fact.value, default=None)


def _energy(findings: Sequence[Finding]) -> Spans:
    judged = [
        f
        for f in findings
        if f.group == "energy" and f.limit is not None and not f.indicative and f.rule not in _OF_TEST
    ]
    short = sum(f.verdict is Verdict.FALLS_SHORT for f in judged)
    open_ = sum(f.verdict in (Verdict.UNDECIDED, Verdict.NOT_ENOUGH_DATA) for f in judged)
    if not judged:
        return (Span(". Its efficiency was not measured. "),)
    if short:
        missed = "the one energy limit" if len(judged) == 1 else f"{short} of the {len(judged)} energy limits"
        return (Span(f" and misses {missed} that appl{'ies' if len(judged) == 1 else 'y'}. "),)
    if open_:
        word = "one is" if open_ == 1 else f"{open_} are"
        return (Span(f" and meets every energy limit that could be decided; {word} open. "),)
    return (Span(" and meets every energy limit that applies. "),)


def _brief(fault: Sequence[Finding], ledger: Ledger) -> Spans:
    """One fault in a clause: what it is, what was found, what it is held against."""
    told = next((f for f in fault if f.limit is not None and f.key is not None), fault[0])
    key = told.key or (told.used[0] if told.used else None)
    fact = ledger.book.fact(key) if key else None
    if key is None or fact is None:
        return (
            Span(f"{subject_text(told.subject)} ({told.rule.partition('.')[2].replace('_', ' ')})", _finding_id(told)),
        )
    held = _held(told, key)
    found = unbroken(show_fact(fact))
    name = _named(key)
    verb = "claimed" if told.group == "claims" else "asked"
    against = f" where {held} is {verb}" if held else ""
    return (Span(f"{name} is ", None), Span(found, ledger.ref(key)), Span(against))


def _held(finding: Finding, key: Key) -> str:
    limit = finding.limit
    if limit is None:
        return ""
    bound = limit.low if limit.low is not None else limit.high
    return show_value(bound, key.quantity) if bound is not None else ""


def _named(key: Key) -> str:
    name = quantities()[key.quantity].name if key.quantity in quantities() else key.quantity
    conditions = condition_text(key)
    at = f" at {conditions}" if conditions else ""
    if key.subject == "unit":
        return f"the {name}{at}"
    if key.subject.startswith(("port", "ports")):
        return f"{subject_text(key.subject)}’s {name}{at}"
    return f"the {name} of the {subject_text(key.subject)}{at}"


def _finding_id(finding: Finding) -> str:
    return f"finding-{finding.rule}-{finding.subject}"


def key_figures(unit: Unit, book: Book, ledger: Ledger) -> tuple[KeyFigure, ...]:
    """The numbers that the trade asks for first, as far as they are known."""
    chosen: list[tuple[Fact | None, str]] = [(book.fact(Key.of("unit", "output_power")), "rated")]
    averages = book.find("average_efficiency", "port:")
    if averages and unit.fed_by_mains:
        best = max(averages, key=lambda fact: (fact.key.number("offer"), -fact.key.number("mains")))
        at = dict(best.key.at)
        chosen.append((best, f"average, {at.get('mains', 0):g} V, {at.get('offer', 0):g} V"))
    chosen.append((_most(book, "delivered_energy"), "delivered from full"))
    chosen.append((book.fact(Key.of("unit", "host_power")), "left for the host"))
    if unit.kind.casefold() == "cable":
        chosen.append((book.fact(Key.of("unit", "resistance")), "there and back"))
    idle = book.find("no_load_power")
    if idle:
        worst = max(idle, key=lambda fact: fact.value)
        chosen.append((worst, f"no load, {worst.key.number('mains'):g} V"))
    chosen.append((book.fact(Key.of("unit", "power_density")), "without prongs"))
    hot = book.find("surface_temperature_at_25")
    chosen.append((max(hot, key=lambda fact: fact.value) if hot else None, "hottest face, at 25 °C"))
    ripple = book.find("ripple_voltage", "port:")
    chosen.append((max(ripple, key=lambda fact: fact.value) if ripple else None, "ripple, peak to peak"))
    steady = book.find("time_to_steady")
    chosen.append((max(steady, key=lambda fact: fact.value) if steady else None, "until steady"))
    return tuple(KeyFigure(ledger.amount(fact), caption) for fact, caption in chosen if fact is not None)
