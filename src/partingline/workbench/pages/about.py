"""What is known of one subject: its facts with their routes, what follows from them, and the findings on it."""

from typing import Any

from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from partingline.facts.show import subject_text
from partingline.model import Fact, Standing
from partingline.publish.compose.ledger import Ledger
from partingline.workbench.api.answers import unit_of
from partingline.workbench.api.evidence import fact_record
from partingline.workbench.live import LiveUnit, Shown
from partingline.workbench.pages.judged import judged
from partingline.workbench.pages.plain import paged
from partingline.workbench.pages.render import rendered

_MOST_FACTS, _MOST_OTHERS, _MOST_FOLLOWING, _MOST_FINDINGS = 2, 12, 8, 5
_FIRST = {Standing.CONTRADICTED: 0, Standing.SUPPORTED: 1, Standing.OPEN: 2}


def routes() -> list[Route]:
    """The address of what is known of a subject, as a piece of a page."""
    return [Route("/unit/{id}/about", paged(_about), methods=["GET"])]


def about(unit: LiveUnit, shown: Shown, ledger: Ledger, subject: str) -> dict[str, Any]:
    """The template's values; an unknown subject has no facts and no findings."""
    facts = [fact for fact in shown.opened.book.facts() if fact.key.subject == subject]
    facts.sort(key=lambda fact: (_FIRST[fact.standing], -_routes(fact), fact.key.id))
    told = [(fact_record(unit.id, shown, fact), fact.standing) for fact in facts[:_MOST_FACTS]]
    follows = {one["id"]: one for record, _ in told for one in record["leads_to"]}
    others = [fact for fact in facts[_MOST_FACTS:] if _routes(fact)][:_MOST_OTHERS]
    findings = judged([f for f in shown.findings if f.subject == subject], shown.opened.book, ledger)
    return {
        "about": subject, "about_name": subject_text(subject) if subject else "", "about_facts": told,
        "about_follows": list(follows.values())[:_MOST_FOLLOWING],
        "about_others": [(fact.key.id, *_named(unit, shown, fact)) for fact in others],
        "about_findings": findings[:_MOST_FINDINGS],
    }  # fmt: skip


def _routes(fact: Fact) -> int:
    return len({statement.route for statement in fact.statements})


def _named(unit: LiveUnit, shown: Shown, fact: Fact) -> tuple[str, str]:
    from partingline.workbench.api.evidence import short_record

    record = short_record(fact)
    return record["name"], record["shown"]


def _about(request: Request) -> Response:
    unit = unit_of(request)
    with unit.reading:
        shown = unit.current()
        ledger = Ledger(shown.opened.book)
        told = about(unit, shown, ledger, request.query_params.get("of", "")[:200])
        return HTMLResponse(rendered("about.html.j2", unit_id=unit.id, ledger=ledger, **told))
