"""Scripts and captions beside the facts: a saved text of the unit, or one that was dropped and is not kept."""

import re
from typing import Any
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from partingline.facts.show import key_text, show_fact, show_statement
from partingline.facts.spoken import Checked, Class, Spoken, check_words, routes_of
from partingline.model import Verdict
from partingline.readers.words import read_script
from partingline.workbench.api.answers import AnswerError, form_body, unit_of
from partingline.workbench.editing import RefusedError
from partingline.workbench.live import LiveUnit, Shown
from partingline.workbench.pages.plain import stopped

ENDINGS = (".vtt", ".srt", ".md", ".txt")
_LIKE = {
    Class.AGREES: Verdict.MEETS, Class.DIFFERS: Verdict.FALLS_SHORT, Class.WRONG_UNIT: Verdict.FALLS_SHORT,
    Class.UNCLEAR: Verdict.UNDECIDED, Class.UNSUPPORTED: Verdict.NOT_ENOUGH_DATA,
    Class.CONDITION: Verdict.NOT_ENOUGH_DATA,
}  # fmt: skip
"""The shape in which a class is shown."""
_QUIET = (Class.AGREES, Class.CONDITION)


def routes() -> list[Route]:
    """The address of the corrected text, as a file to keep."""
    return [Route("/unit/{id}/corrected", _corrected, methods=["POST"])]


def spoken(request: Request, unit: LiveUnit, shown: Shown) -> dict[str, Any]:
    """What the page of words shows: the texts that there are, and the check of the chosen one."""
    names = [name.partition("/")[2] for name in shown.opened.folder.names("words", *ENDINGS)]
    names = [name for name in names if name != "listing.md"]
    wanted = request.query_params.get("text", "")
    timed = [name for name in names if name.endswith((".vtt", ".srt"))]
    name = wanted if wanted in names else next(iter([*timed, *names]), "")
    text = unit.writer.read(f"words/{name}") if name else ""
    return {"texts": names, **checked_text(shown, name, text, kept=True)}


def checked_text(shown: Shown, name: str, text: str, *, kept: bool) -> dict[str, Any]:
    """The check of one text as rows."""
    if not text.strip():
        return {"checked": None, "script_name": name}
    checked = check_words(shown.opened.unit, shown.opened.book.facts(), read_script(text, name))
    rows = [_row(one) for one in checked.spoken]
    counts = [(one, _LIKE[one], sum(row["word"] == one.value for row in rows)) for one in Class]
    return {
        "checked": {
            "name": name, "text": text, "kept": kept, "rows": rows, "slips": len(checked.slips),
            "counts": [(one.value, like, number, one not in _QUIET) for one, like, number in counts if number],
            "never": [(fact.key.id, f"{key_text(fact.key)} {show_fact(fact)}") for fact in checked.never_said],
            "into": corrected_name(name),
        },
        "script_name": name,
    }  # fmt: skip


def corrected_name(name: str) -> str:
    """`talk.vtt` to `talk-corrected.vtt`; a text without times stays a text."""
    stem, dot, ending = name.rpartition(".")
    return f"{stem}-corrected{dot}{ending}" if dot else f"{name}-corrected.txt"


def _row(one: Spoken) -> dict[str, Any]:
    fact = one.fact
    told = (
        [(r.value, next(show_statement(s) for s in fact.statements if s.route is r)) for r in routes_of(one)]
        if fact
        else []
    )
    before, _, after = one.sentence.partition(one.figure.words)
    return {
        "when": _clock(one.time_s) if one.time_s is not None else f"line {one.line}", "words": one.figure.words,
        "word": one.class_.value, "like": _LIKE[one.class_], "quiet": one.class_ in _QUIET,
        "fact": fact.key.id if fact else "", "name": key_text(fact.key) if fact else "",
        "shown": show_fact(fact) if fact else "", "routes": told, "instead": one.instead if one.class_.is_slip else "",
        "before": before[-60:], "after": after[:60],
        "off": _off(one),
    }  # fmt: skip


def _off(one: Spoken) -> str:
    if one.off is None or not one.class_.is_slip:
        return ""
    return f"off by {one.off * 100:.3g} %" if one.off < 10 else f"{one.off + 1:,.0f} times as much"


def _clock(seconds: float) -> str:
    minutes, rest = divmod(seconds, 60)
    return f"{int(minutes):d}:{rest:04.1f}"


async def _corrected(request: Request) -> Response:
    """The corrected text as a download; what was sent is not kept."""
    told: dict[str, str] = {}
    try:
        told = await form_body(request)
        name, text = told.get("name", "")[:200], told.get("text", "")
        if not name.lower().endswith(ENDINGS):
            raise AnswerError(415, name, "no script", f"a name that ends with {', '.join(ENDINGS)}", "Rename it.")
        data = await run_in_threadpool(_mended, unit_of(request), name, text)
    except (AnswerError, RefusedError) as error:
        return stopped(request, error, told)
    kept = quote(re.sub(r"[/\\\x00-\x1f]", "-", corrected_name(name)))
    headers = {"content-disposition": f"attachment; filename*=UTF-8''{kept}", "x-content-type-options": "nosniff"}
    return Response(data.encode("utf-8"), media_type="text/plain; charset=utf-8", headers=headers)


def _mended(unit: LiveUnit, name: str, text: str) -> str:
    from partingline.publish.words import captions_text, corrected_script

    with unit.reading:
        shown = unit.current()
        checked: Checked = check_words(shown.opened.unit, shown.opened.book.facts(), read_script(text, name))
    script = corrected_script(checked)
    form = "srt" if name.lower().endswith(".srt") else "vtt"
    return captions_text(script, form=form) if script.timed else script.text.rstrip("\n") + "\n"
