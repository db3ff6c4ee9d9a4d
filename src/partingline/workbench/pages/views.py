"""Pages as answers: the bench, the pages of a unit, a fact, a place in a file, the history; files and the report."""

from itertools import islice
from typing import Any
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from partingline.facts.show import key_text, subject_text
from partingline.model import Finding, Key, Standing, Verdict
from partingline.publish.compose.ledger import Ledger
from partingline.workbench.api.answers import AnswerError, form_body, unit_of
from partingline.workbench.api.evidence import fact_record
from partingline.workbench.editing import RefusedError
from partingline.workbench.live import LiveUnit, Shown
from partingline.workbench.pages import about, drawn, operating
from partingline.workbench.pages.contents import GROUPS, PAGES, contents, open_count, steps_of
from partingline.workbench.pages.extras import extras
from partingline.workbench.pages.places import place_shown
from partingline.workbench.pages.plain import paged, stopped
from partingline.workbench.pages.receive import folders_of
from partingline.workbench.pages.render import TEMPLATES, rendered
from partingline.workbench.pages.spoken import ENDINGS as SCRIPTS
from partingline.workbench.pages.spoken import checked_text
from partingline.workbench.pages.wanting import wanting
from partingline.workbench.summaries import Summaries
from partingline.workbench.uploads import ENDINGS

_MOST_STEPS = 6
_MOST_UNITS = 100
_EXAMPLES = {"V": "as 5.02 ± 0.01 V", "A": "as 3.25 ± 0.01 A", "F": "as 81.2 ± 0.6 µF", "m": "as 4.31 ± 0.06 mm"}


def routes() -> list[Route]:
    """The addresses of the pages."""
    return [
        Route("/", paged(_bench), methods=["GET"]),
        Route("/unit/{id}/fact", paged(_fact), methods=["GET"]),
        Route("/unit/{id}/source", paged(_source), methods=["GET"]),
        Route("/unit/{id}/history", paged(_history), methods=["GET"]),
        *operating.routes(),
        *about.routes(),
        *drawn.routes(),
        Route("/unit/{id}/words", _check, methods=["POST"]),
        Route("/unit/{id}/{page}", paged(_page), methods=["GET"]),
        Route("/unit/{id}", paged(_first), methods=["GET"]),
    ]


def _bench(request: Request) -> Response:
    summaries: Summaries = request.app.state.summaries
    find = request.query_params.get("find", "")[:100]
    wanted = find.casefold().split()
    units = [one for one in summaries.all() if all(word in _said(one) for word in wanted)]
    first = request.query_params.get("from", "")
    start = min(int(first), len(units)) if first.isdecimal() and len(first) < 8 else 0
    shown = [
        {**one, "status": Verdict(one["verdict"]) if one["verdict"] else None}
        for one in units[start : start + _MOST_UNITS]
    ]
    told = {
        "title": "Bench", "page": "bench", "units": shown, "find": find, "count": len(units),
        "unjudged": any(one["status"] is None and not one["error"] for one in shown),
        "folders": folders_of(), "before": max(0, start - _MOST_UNITS) if start else None,
        "after": start + _MOST_UNITS if start + _MOST_UNITS < len(units) else None,
    }  # fmt: skip
    return _html(request, "bench.html.j2", bench_name=request.app.state.bench.root.name, **told)


def _said(one: dict[str, Any]) -> str:
    told = (one["id"], one["name"], one["title"], one["verdict"] or "", one["lead"], *one["missing"])
    return " ".join(told).casefold()


def _first(request: Request) -> Response:
    unit = unit_of(request)
    return Response(status_code=303, headers={"location": f"/unit/{quote(unit.id)}/outside"})


def _page(request: Request) -> Response:
    return _page_of(request, request.path_params["page"])


async def _check(request: Request) -> Response:
    """The page of words with the check of a text that is not kept."""
    told: dict[str, str] = {}
    try:
        told = await form_body(request)
        if not told.get("name", "").lower().endswith(SCRIPTS):
            step = "Give it a name that says what it is."
            raise AnswerError(415, "name", told.get("name", "")[:100], f"a name with {', '.join(SCRIPTS)}", step)
        return await run_in_threadpool(_page_of, request, "words", (told["name"][:200], told.get("text", "")))
    except (AnswerError, RefusedError) as error:
        return stopped(request, error, told)


def _page_of(request: Request, page: str, text: tuple[str, str] | None = None) -> Response:
    unit = unit_of(request)
    if page not in PAGES:
        raise AnswerError(404, page[:60], "no such page", f"one of {', '.join(PAGES)}", "Take a link above.")
    with unit.reading:
        shown = unit.current()
        ledger = Ledger(shown.opened.book)
        made = contents(page, unit, shown, ledger)
        more = extras(page, request, unit, shown, ledger)
        if text is not None:
            more.update(checked_text(shown, *text, kept=False))
        template = f"{page}.html.j2" if page in _OWN else "unit.html.j2"
        problems = [str(problem) for problem in shown.opened.problems] if page == "publish" else ()
        told = {
            "groups": made.fields, "sections": made.sections, "top": made.top, "drops": made.drops,
            "unreadable": made.unreadable,
            "steps": _steps(page, shown), "problems": problems, "wants": wanting(page, unit, shown),
            "says_missing": page in GROUPS.values(),
        }  # fmt: skip
        return _unit_html(request, template, page, unit, shown, ledger=ledger, **{**told, **more})


_OWN = tuple(page for page in PAGES if (TEMPLATES / f"{page}.html.j2").is_file())
"""Pages with a template of their own."""


def _fact(request: Request) -> Response:
    unit = unit_of(request)
    try:
        key = Key.parse(request.query_params.get("key", ""))
    except ValueError as error:
        raise AnswerError(400, "key", str(error)[:200], "SUBJECT/QUANTITY", "Take a link of a number.") from error
    with unit.reading:
        shown = unit.current()
        fact = shown.opened.book.fact(key)
        if fact is None:
            raise AnswerError(404, key_text(key)[:200], "not known", "a fact of the unit", "Add a reading of it.")
        record = fact_record(unit.id, shown, fact)
        statuses = [Standing(one["standing"]) for one in record["statements"]]
        told = {
            "fact": record,
            "status": fact.standing,
            "statuses": statuses,
            "verdicts": {v.value: v for v in Verdict},
        }
        return _unit_html(request, "fact.html.j2", "fact", unit, shown, ledger=Ledger(shown.opened.book), **told)


def _source(request: Request) -> Response:
    unit = unit_of(request)
    told = place_shown(unit.root, unit.cache, dict(request.query_params))
    return _unit_html(request, "source.html.j2", "source", unit, unit.current(), **told)


def _history(request: Request) -> Response:
    unit = unit_of(request)
    shown = unit.current()
    unit.writer.history.refresh()
    entries = [_entry(one) for one in islice(unit.writer.history.back(), 200)]
    return _unit_html(request, "history.html.j2", "history", unit, shown, entries=entries)


def _entry(entry: dict[str, Any]) -> dict[str, Any]:
    where = " ".join(map(str, entry.get("path") or ())) or "the file"
    outside = bool(entry.get("outside"))
    return {
        "n": entry["n"], "when": str(entry.get("when", "")), "who": str(entry.get("who", "")),
        "what": f"{entry['file']}: {where}", "before": _short(entry.get("before"), outside),
        "after": _short(entry.get("after"), outside), "undoes": entry.get("undoes"),
        "can": not outside or entry.get("before") is not None,
    }  # fmt: skip


def _short(value: Any, outside: bool) -> str:
    if value is None:
        return ""
    if outside:
        return f"{len(str(value).splitlines())} lines"
    if isinstance(value, dict):
        value = ", ".join(f"{name} {one}" for name, one in value.items() if one)
    text = "; ".join(map(str, value)) if isinstance(value, list) else str(value)
    return text if len(text) <= 160 else text[:160] + "…"


def _steps(page: str, shown: Shown) -> list[dict[str, Any]]:
    """What is missing, each with the means to type it where it is a reading of a quantity."""
    from partingline.sources import quantities

    told = []
    for step in steps_of(page, shown)[:_MOST_STEPS]:
        known = quantities().get(step.key.quantity)
        told.append(
            {
                "what": step.what, "settles": len(step.settles), "names": _names(step.settles),
                "key": step.key.id, "name": key_text(step.key),
                "reading": known is not None,
                "example": "" if known is None or known.is_text else _EXAMPLES.get(known.unit, ""),
            }
        )  # fmt: skip
    return told


def _names(findings: tuple[Finding, ...]) -> str:
    """What the findings are about, in a few words."""
    about = dict.fromkeys(
        f"{subject_text(one.subject)} {one.rule.partition('.')[2].replace('_', ' ')}" for one in findings
    )
    return ", ".join(list(about)[:3]) + (", …" if len(about) > 3 else "")


def _unit_html(request: Request, template: str, page: str, unit: LiveUnit, shown: Shown, **told: Any) -> Response:
    others = unit.hub.people
    people = "you alone" if others <= 1 else f"{others} pages open"
    last = unit.writer.history.tail[-1]["when"][11:16] + " UTC" if unit.writer.history.tail else ""
    frame = {
        "title": f"{shown.opened.unit.name}, {page}", "page": page, "unit_id": unit.id, "unit": shown.opened.unit,
        "state": shown.state, "lead": shown.lead, "people": people, "saved": f"saved {last}" if last else "unchanged",
        "nav": [(name, open_count(name, shown.findings)) for name in PAGES], "endings": ENDINGS,
        "steps": (), "wants": (), "says_missing": False, "problems": (),
        "unreadable": (), "groups": (), "apart": (), "drops": (), "sections": (), "top": (),
    }  # fmt: skip
    return _html(request, template, **{**frame, **told})


def _html(request: Request, template: str, **told: Any) -> Response:
    frame = {"unit_id": "", "state": 0, "token": request.app.state.access.page_token}
    return HTMLResponse(drawn.by_address(rendered(template, **{**frame, **told})))
