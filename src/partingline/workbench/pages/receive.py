"""Forms with files: dropped into a folder of a unit, or together making a new one."""

from typing import Any
from urllib.parse import parse_qs, quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from partingline.workbench.api.answers import AnswerError, hold_token, unit_of
from partingline.workbench.bench import Bench
from partingline.workbench.editing import RefusedError
from partingline.workbench.live import LiveUnit
from partingline.workbench.pages.contents import PAGES
from partingline.workbench.pages.plain import stopped
from partingline.workbench.uploads import ENDINGS, MOST_BYTES, keep

_FIRST = ("photos", "logs", "captures", "words")
_TEXTS = (".txt", ".md")


def routes() -> list[Route]:
    """The addresses that take files from forms."""
    return [
        Route("/new", _new, methods=["POST"]),
        Route("/unit/{id}/upload/{folder}", _upload, methods=["POST"]),
    ]


def folders_of() -> dict[str, list[str]]:
    """By ending of a file's name: the folders that it can go into, the likely one first."""
    found: dict[str, list[str]] = {}
    for folder in _FIRST:
        for ending in ENDINGS[folder]:
            found.setdefault(ending, []).append(folder)
    for ending in _TEXTS:
        found[ending].sort(key=lambda folder: folder != "words")
    return found


def address(unit: LiveUnit, page: str) -> str:
    """The address of a page of a unit; its first page for what is none."""
    return f"/unit/{quote(unit.id, safe='')}/{page if page in PAGES else 'outside'}"


async def _new(request: Request) -> Response:
    """A unit folder under the name that was typed, with the files that came along."""
    try:
        query = parse_qs(request.url.query)
        form = await _parsed(request)
        try:
            hold_token(request, query.get("token", [str(form.get("token", ""))])[0])
            bench: Bench = request.app.state.bench
            unit = await run_in_threadpool(bench.make, str(form.get("id", "")).strip())
            for one in _files(form):
                ending = "." + one.filename.lower().rpartition(".")[2]
                await keep(unit.root, folders_of().get(ending, ["photos"])[0], one.filename, _pieces(one))
        finally:
            await form.close()
        return RedirectResponse(address(unit, "outside"), 303)
    except (AnswerError, RefusedError) as error:
        return stopped(request, error, {})


async def _upload(request: Request) -> Response:
    """Files of a form into one folder, the bound on all of them together."""
    try:
        query = parse_qs(request.url.query)
        hold_token(request, query.get("token", [""])[0])
        unit = unit_of(request)
        form = await _parsed(request)
        try:
            for one in _files(form):
                await keep(unit.root, request.path_params["folder"], one.filename, _pieces(one))
        finally:
            await form.close()
        return RedirectResponse(address(unit, query.get("back", [""])[0]), 303)
    except AnswerError as error:
        return stopped(request, error, {})


async def _parsed(request: Request) -> Any:
    from starlette.formparsers import FormParser, MultiPartException, MultiPartParser

    parser: Any = FormParser(request.headers, _bounded(request))
    if request.headers.get("content-type", "").startswith("multipart/form-data"):
        parser = MultiPartParser(request.headers, _bounded(request), max_files=200, max_fields=20)
    try:
        return await parser.parse()
    except (MultiPartException, KeyError) as error:
        raise AnswerError(400, "form", str(error)[:100], "a form with files", "Send it again.") from error


def _files(form: Any) -> list[Any]:
    from starlette.datastructures import UploadFile

    return [one for one in form.getlist("files") if isinstance(one, UploadFile) and one.filename]


async def _bounded(request: Request) -> Any:
    size = 0
    async for piece in request.stream():
        size += len(piece)
        if size > MOST_BYTES:
            raise AnswerError(413, "files", f"more than {MOST_BYTES} bytes", "smaller files", "Drop them one by one.")
        yield piece


async def _pieces(file: Any) -> Any:
    while piece := await file.read(1 << 20):
        yield piece
