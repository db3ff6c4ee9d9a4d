"""Bodies with a bound, answers in JSON, and refusals that say what was expected."""

import json
import math
from collections.abc import Awaitable, Callable
from functools import wraps
from typing import Any
from urllib.parse import parse_qsl

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from partingline.workbench.bench import Bench
from partingline.workbench.editing import ConflictError, RefusedError
from partingline.workbench.guard import Access, same
from partingline.workbench.live import LiveUnit

BODY = 1 << 20
TEXT_BODY = 6 << 20
Handler = Callable[[Request], Awaitable[Response]]


class AnswerError(Exception):
    """A request that is turned away: status, what was found, what was expected, the next step."""

    def __init__(self, status: int, place: str, found: str, expected: str, next_step: str) -> None:
        super().__init__(found)
        self.status = status
        self.told = {"place": place, "found": found, "expected": expected, "next_step": next_step}


def answering(work: Callable[..., Any]) -> Handler:
    """A handler from a function of the request (and its JSON body, where it takes two arguments), run in a thread.

    It returns a record, a (status, record), or a response.
    """
    takes_body = work.__code__.co_argcount == 2

    @wraps(work)
    async def handler(request: Request) -> Response:
        try:
            if not takes_body:
                return _response(await run_in_threadpool(work, request))
            hold_token(request, request.headers.get("x-partingline", ""))
            return _response(await run_in_threadpool(work, request, await json_body(request)))
        except (AnswerError, ConflictError, RefusedError) as error:
            return refusal(error)

    return handler


def refusal(error: AnswerError | ConflictError | RefusedError) -> Response:
    """The answer for what could not be done."""
    if isinstance(error, AnswerError):
        return _response((error.status, {"error": error.told}))
    if isinstance(error, RefusedError):
        told = {name: getattr(error, name) for name in ("place", "found", "expected", "next_step")}
        return _response((422, {"error": told}))
    names = ("file", "yours", "theirs", "version", "who", "when")
    return _response((409, {"conflict": {"path": list(error.path), **{n: getattr(error, n) for n in names}}}))


def hold_token(request: Request, given: str) -> None:
    """AnswerError where a change does not bring the page's token."""
    access: Access = request.app.state.access
    if not same(given, access.page_token):
        expected = "the page's token, as X-Partingline or in the form"
        raise AnswerError(403, "request", "no token of this server's pages", expected, "Reload the page.")


def unit_of(request: Request) -> LiveUnit:
    """The unit that the address names; AnswerError where there is none."""
    bench: Bench = request.app.state.bench
    id_ = request.path_params["id"]
    unit = bench.unit(id_)
    if unit is None:
        raise AnswerError(404, "bench", f"no unit {id_!r:.100}", "a folder of the bench", "Look at the bench.")
    return unit


async def body_of(request: Request, most: int) -> bytes:
    """The whole body; AnswerError where it is longer than `most` bytes."""
    size, pieces = 0, []
    async for piece in request.stream():
        size += len(piece)
        if size > most:
            raise AnswerError(413, "request", f"more than {most} bytes", f"at most {most} bytes", "Send less.")
        pieces.append(piece)
    return b"".join(pieces)


async def json_body(request: Request) -> dict[str, Any]:
    """The body as a JSON object."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip()
    data = await body_of(request, TEXT_BODY if "/text/" in request.url.path or "/parts" in request.url.path else BODY)
    try:
        told = json.loads(data) if data or kind == "application/json" else {}
    except (ValueError, RecursionError) as error:
        raise AnswerError(400, "request", str(error)[:100], "JSON in UTF-8", "Mend the request.") from error
    if not isinstance(told, dict) or (data and kind != "application/json"):
        raise AnswerError(400, "request", kind or "no type", "an object as application/json", "Mend the request.")
    return told


async def form_body(request: Request) -> dict[str, str]:
    """The fields of a form that was posted without files. Line ends are those of the file again."""
    data = await body_of(request, TEXT_BODY)
    try:
        pairs = parse_qsl(data.decode("utf-8"), keep_blank_values=True, max_num_fields=500)
    except ValueError as error:
        raise AnswerError(400, "form", str(error)[:100], "a form's fields", "Go back and send it again.") from error
    told = {name: value.replace("\r\n", "\n") for name, value in pairs}
    hold_token(request, told.get("token", ""))
    return told


def who_of(told: dict[str, Any]) -> str:
    """The name that an editor gives."""
    who = told.get("who")
    return who.strip()[:80] if isinstance(who, str) and who.strip() else "someone here"


def needed(told: dict[str, Any], name: str, kind: type) -> Any:
    """A field that a body must have."""
    if not isinstance(told.get(name), kind) or isinstance(told.get(name), bool):
        raise AnswerError(400, name, "missing or of another kind", f"'{name}' as {kind.__name__}", "Mend the request.")
    return told[name]


def number_of(request: Request, name: str, default: float, low: float, high: float) -> float:
    """A number of the query, held between bounds."""
    text = request.query_params.get(name)
    try:
        value = default if text is None else float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise AnswerError(400, name, f"{text!r:.60}", "a number", "Mend the address.")
    return min(max(value, low), high)


def _response(told: Any) -> Response:
    if isinstance(told, Response):
        return told
    status, record = told if isinstance(told, tuple) else (200, told)
    return JSONResponse(record, status)
