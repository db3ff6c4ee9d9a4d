"""The whole report: verdict, figures, claims, protocol, energy, pictures, converter, parts, findings, evidence."""

from collections.abc import Sequence

from partingline.facts.opened import Opened
from partingline.model import Finding, Unit
from partingline.publish.compose.at_work import at_work
from partingline.publish.compose.budgets import budgets
from partingline.publish.compose.cautions import cautions
from partingline.publish.compose.claims import claims
from partingline.publish.compose.converter import converter, parts_by_stage
from partingline.publish.compose.design import design
from partingline.publish.compose.ends import ends
from partingline.publish.compose.energy import energy
from partingline.publish.compose.findings import met_findings, open_findings, to_measure
from partingline.publish.compose.further import further
from partingline.publish.compose.lead import key_figures, lead
from partingline.publish.compose.ledger import Ledger
from partingline.publish.compose.mains import mains_input
from partingline.publish.compose.ofkind import of_its_kind
from partingline.publish.compose.opening import opening
from partingline.publish.compose.pictures import pictures
from partingline.publish.compose.protocol import protocol
from partingline.publish.compose.ratings import ratings
from partingline.publish.document import Document

INVENTED = "Invented demonstration unit: maker, model, markings and readings are made up"


def compose(opened: Opened, findings: Sequence[Finding]) -> Document:
    """The report of a unit."""
    unit, book = opened.unit, opened.book
    ledger = Ledger(book)
    facts = book.facts()
    first = lead(unit, findings, ledger)
    figures = key_figures(unit, book, ledger)
    sections = [
        claims(unit, facts, ledger),
        open_findings(findings, ledger),
        to_measure(findings, book),
        of_its_kind(unit, book, ledger),
        energy(opened, findings, ledger),
        budgets(findings, book, ledger),
        protocol(opened, ledger),
        cautions(unit, book, ledger),
        opening(opened),
        pictures(opened, findings, ledger),
        converter(unit, findings, book, ledger),
        mains_input(unit, book, ledger),
        further(unit, book, ledger),
        at_work(unit, book, ledger),
        design(unit, book, ledger),
        ratings(unit, book, ledger),
        parts_by_stage(unit, findings, book, ledger),
        met_findings(findings, ledger),
    ]
    return Document(
        title=unit.name,
        subtitle=unit.title or unit.kind,
        lead=first,
        sections=(*(section for section in sections if section is not None), *ends(opened, ledger)),
        key_figures=figures,
        notice=INVENTED if unit.invented else "",
        meta=_meta(unit, len(facts), len(findings)),
    )


def _meta(unit: Unit, facts: int, findings: int) -> tuple[str, ...]:
    day = f"examined {unit.examined.day} {unit.examined:%B %Y} · " if unit.examined else ""
    return (f"{day}{facts} facts, {findings} findings",)
