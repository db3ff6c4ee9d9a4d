"""The end of the page: facts with their routes, evidence with hashes, sources, what was not read."""

from collections.abc import Sequence

from partingline.facts.opened import Opened
from partingline.facts.show import key_text
from partingline.model import Fact, Route, Statement
from partingline.publish.compose.ledger import Ledger, said_as
from partingline.publish.document import (
    Bibliography,
    FactEntry,
    FactList,
    Items,
    Section,
    Source,
    Span,
    Spans,
    amount_spans,
    plain,
)
from partingline.sources import documents
from partingline.sources.documents import MARKS

HABIT = "Common practice"


def ends(opened: Opened, ledger: Ledger) -> tuple[Section, ...]:
    """What is assumed, facts, evidence, sources and problems, in the order in which the page referred to them."""
    known = [fact for key in list(ledger.facts) if (fact := opened.book.fact(key)) is not None]
    facts = tuple(_fact(fact, ledger) for fact in known if fact.preferred.route is not Route.ASSUMED)
    assumed = assumptions([fact for fact in known if fact.preferred.route is Route.ASSUMED], ledger)
    sources = tuple(_source(id_, ledger) for id_ in sorted(ledger.sources))
    sections = [
        *([assumed] if assumed else []),
        Section("facts", "Facts and how they are known", (FactList(facts),), f"{len(facts)} facts"),
        Section("evidence", "Evidence", (ledger.evidence_list(),), "file, place and hash of the content"),
        Section(
            "sources",
            "Sources",
            (Bibliography(sources),),
            "what limits and calculations rest on, and how each was read",
        ),
    ]
    if opened.problems:
        items = Items(tuple(plain(str(problem)) for problem in opened.problems))
        places = "1 place" if len(opened.problems) == 1 else f"{len(opened.problems)} places"
        sections.insert(0, Section("problems", "What could not be read", (items,), places))
    return tuple(sections)


def _fact(fact: Fact, ledger: Ledger) -> FactEntry:
    routes = " · ".join(
        f"{statement.route.value} {said_as(statement)}" + ("" if standing.value == "open" else f" ({standing.value})")
        for statement, standing in zip(fact.statements, fact.standings, strict=True)
    )
    because = f" Preferred because {fact.preferred_because}." if fact.preferred_because else ""
    value = amount_spans(ledger.amount(fact))
    return FactEntry(fact.key.id, key_text(fact.key), value, routes + because, _basis(fact.preferred, ledger))


def assumptions(facts: Sequence[Fact], ledger: Ledger) -> Section | None:
    """What is assumed, in short; None where nothing is."""
    count = "1 value" if len(facts) == 1 else f"{len(facts)} values"
    aside = f"{count} where nothing was read; a reading, or [assume] in unit.toml, replaces each"
    entries = tuple(_assumed(fact, ledger) for fact in facts)
    return Section("assumed", "What is assumed", (FactList(entries),), aside) if entries else None


def _assumed(fact: Fact, ledger: Ledger) -> FactEntry:
    """In short: the value and why, since there is nothing else."""
    said = fact.preferred
    habit = said.basis is not None and not said.basis.inputs and said.basis.source.startswith(HABIT)
    basis = plain(said.note) if habit else _basis(said, ledger)
    return FactEntry(fact.key.id, key_text(fact.key), amount_spans(ledger.amount(fact)), "", basis)


def _basis(statement: Statement, ledger: Ledger) -> Spans:
    spans: list[Span] = []
    if statement.basis is not None:
        spans.append(Span(f"{statement.basis.what}, {statement.basis.source}"))
        for index, key in enumerate(statement.basis.inputs):
            spans += [Span(" from " if index == 0 else ", "), Span(key_text(key), ledger.ref(key))]
    for place in statement.evidence:
        if place.sha256:
            spans += [Span("; " if spans else ""), Span(str(place), ledger.evidence_ref(place))]
    if statement.note:
        spans.append(Span(f"{'. ' if spans else ''}{statement.note}"))
    return tuple(spans)


def _source(id_: str, ledger: Ledger) -> Source:
    document = documents()[id_]
    how = MARKS[ledger.sources[id_].mark]
    detail = "; ".join(filter(None, (document.edition, document.holds, how, document.errata)))
    return Source(f"source-{id_}", document.title, detail)
