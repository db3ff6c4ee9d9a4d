"""Handlers of pages and forms: what cannot be done is a page too, with what was typed, so that nothing is lost."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from partingline.workbench.api.answers import AnswerError, Handler, form_body
from partingline.workbench.editing import ConflictError, RefusedError
from partingline.workbench.pages.render import rendered


def paged(work: Callable[[Request], Response]) -> Handler:
    """A handler of a page, run in a thread."""

    @wraps(work)
    async def handler(request: Request) -> Response:
        try:
            return await run_in_threadpool(work, request)
        except (AnswerError, RefusedError) as error:
            return stopped(request, error, {})

    return handler


def posted(work: Callable[[Request, dict[str, str]], str]) -> Handler:
    """A handler of a form: it works in a thread and gives the address to go on to."""

    @wraps(work)
    async def handler(request: Request) -> Response:
        told: dict[str, str] = {}
        try:
            told = await form_body(request)
            return RedirectResponse(await run_in_threadpool(work, request, told), 303)
        except (AnswerError, RefusedError, ConflictError) as error:
            return stopped(request, error, told)

    return handler


def stopped(request: Request, error: AnswerError | RefusedError | ConflictError, told: dict[str, str]) -> Response:
    """The page of what could not be done."""
    frame: dict[str, Any] = {
        "title": "Not saved", "page": "stopped", "unit_id": request.path_params.get("id", ""), "state": 0,
        "token": request.app.state.access.page_token, "back": request.headers.get("referer", "/"), "conflict": None,
        "heading": "Not saved" if request.method == "POST" else "Not here", "typed": _typed(told),
    }  # fmt: skip
    if not str(frame["back"]).startswith(str(request.base_url)):
        frame["back"] = "/"
    if isinstance(error, ConflictError):
        again = {**{n: told[n] for n in _AGAIN if n in told}, "base": error.version} if "value" in told else None
        conflict = {
            "who": error.who, "when": error.when, "theirs": _text(error.theirs), "yours": _text(error.yours),
            "typed": told.get("value", ""),
        }  # fmt: skip
        return HTMLResponse(rendered("conflict.html.j2", **{**frame, "conflict": conflict, "again": again}), 409)
    status = error.status if isinstance(error, AnswerError) else 422
    said = error.told if isinstance(error, AnswerError) else vars(error)
    return HTMLResponse(rendered("conflict.html.j2", error=said, **frame), status)


_CARRIED = ("token", "file", "path", "base", "back", "listed", "whole", "key", "entry", "job", "photo", "remove")
"""Fields that no one types."""
_AGAIN = ("token", "file", "path", "back", "listed", "whole")


def _typed(told: dict[str, str]) -> list[tuple[str, str]]:
    """What a person typed, by the name of its field."""
    return [(name.replace("_", " "), text) for name, text in told.items() if name not in _CARRIED and text]


def _text(value: Any) -> str:
    if value is None:
        return "(nothing)"
    return "\n".join(map(str, value)) if isinstance(value, list) else str(value)
