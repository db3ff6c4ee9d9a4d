"""Files as they are: originals in a sandbox, photos and their tiles, the report, the look, the bundle."""

import re
from collections.abc import Callable
from typing import Any
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route

from partingline.publish.fonts import FONTS
from partingline.workbench import tiles
from partingline.workbench.api.answers import AnswerError, Handler, refusal, unit_of
from partingline.workbench.assets import FOR_GOOD, ICON, STATIC, kept, version_of
from partingline.workbench.pages.places import inside
from partingline.workbench.pages.render import sheet

_SANDBOX = {"content-security-policy": "sandbox; default-src 'none'; style-src 'unsafe-inline'; img-src data:"}
_REPORT = {
    "content-security-policy": "sandbox allow-popups; default-src 'none'; style-src 'unsafe-inline'; "
    "img-src data:; font-src data:"
}
_PICTURES = {
    ".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".png": "image/png", ".webp": "image/webp", ".heic": "image/heic",
    ".heif": "image/heif", ".tif": "image/tiff", ".tiff": "image/tiff",
}  # fmt: skip
_WRITTEN = {".html": "text/html", ".pdf": "application/pdf", ".md": "text/plain", ".svg": "image/svg+xml"}
_HASHED = re.compile(r"[a-z]+-[A-Z0-9]{8}\.js")
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,100}")
_STATIC = {".js": "text/javascript", ".css": "text/css", ".map": "application/json", ".woff2": "font/woff2"}


def routes() -> list[Route]:
    """The addresses of files."""
    at = "/unit/{id}"
    return [
        Route("/style.css", _threaded(_sheet), methods=["GET"]),
        Route("/icon.svg", _threaded(_icon), methods=["GET"]),
        Route("/favicon.ico", _threaded(_icon), methods=["GET"]),
        Route("/fonts/{name}", _threaded(_font), methods=["GET"]),
        Route("/static/{name:path}", _threaded(_static), methods=["GET"]),
        Route(f"{at}/files/{{path:path}}", _threaded(_file), methods=["GET"]),
        Route(f"{at}/report/{{path:path}}", _threaded(_written("report")), methods=["GET"]),
        Route(f"{at}/publication/{{path:path}}", _threaded(_written("publication")), methods=["GET"]),
        Route(f"{at}/photos/{{name}}/small.jpg", _threaded(_small), methods=["GET"]),
        Route(f"{at}/photos/{{name}}/tiles/info.json", _threaded(_info), methods=["GET"]),
        Route(f"{at}/photos/{{name}}/tiles/{{z:int}}/{{tile}}.jpg", _threaded(_tile), methods=["GET"]),
    ]


def _threaded(work: Any) -> Handler:
    async def handler(request: Request) -> Response:
        try:
            answer: Response = await run_in_threadpool(work, request)
            return answer
        except AnswerError as error:
            return refusal(error)

    return handler


def _sheet(request: Request) -> Response:
    text = sheet()
    return kept(request, version_of("/style.css"), Response(text, media_type="text/css"))


def _icon(request: Request) -> Response:
    return kept(request, version_of("/icon.svg"), FileResponse(ICON, media_type="image/svg+xml"))


def _font(request: Request) -> Response:
    name = request.path_params["name"]
    if not _NAME.fullmatch(name) or not name.endswith(".woff2") or not (FONTS / name).is_file():
        raise AnswerError(404, name[:100], "no such face", "a face that the style sheet names", "Run `make`.")
    return kept(request, version_of(f"/fonts/{name}"), FileResponse(FONTS / name, media_type="font/woff2"))


def _static(request: Request) -> Response:
    name = request.path_params["name"]
    path = (STATIC / name).resolve()
    good = path.is_relative_to(STATIC.resolve()) and path.is_file() and path.suffix in _STATIC
    if not good:
        raise AnswerError(404, name[:100], "no such file of the bundle", "workbench.js or workbench.css", "Run `make`.")
    answer = FileResponse(path, media_type=_STATIC[path.suffix])
    if _HASHED.fullmatch(name):  # its name changes with its content
        answer.headers["cache-control"] = FOR_GOOD
        return answer
    return kept(request, version_of(f"/static/{name}"), answer)


def _file(request: Request) -> Response:
    unit, name = unit_of(request), request.path_params["path"]
    path = inside(unit.root, name)
    media = _PICTURES.get(path.suffix.lower(), "text/plain; charset=utf-8")
    if path.suffix.lower() in (".npy", ".sigmf-data", ".wav", ".xlsx"):
        media = "application/octet-stream"
    return FileResponse(path, media_type=media, headers=_SANDBOX)


def _written(folder: str) -> Callable[[Request], Response]:
    """What the product has written into a folder of the unit, as a page of its own without any right."""

    def answer(request: Request) -> Response:
        path = inside(unit_of(request).root, f"{folder}/{request.path_params['path']}")
        kind = {**_WRITTEN, **_PICTURES}.get(path.suffix.lower(), "text/plain")
        headers = {**_REPORT, "content-disposition": f"inline; filename*=UTF-8''{quote(path.name)}"}
        return FileResponse(path, media_type=kind, headers=headers)

    return answer


def _picture(request: Request) -> tiles.Picture:
    unit = unit_of(request)
    return tiles.find_picture(unit.root, unit.cache, request.path_params["name"])


def _small(request: Request) -> Response:
    picture = _picture(request)
    return kept(request, picture.version, Response(tiles.small(picture), media_type="image/jpeg"))


def _info(request: Request) -> Response:
    picture = _picture(request)
    width, height = tiles.size_of(picture)
    at = quote(str(request.url.path).removesuffix("info.json"))
    told = {"width": width, "height": height, "tile": tiles.TILE, "overlap": 0}
    url = f"{at}{{z}}/{{x}}_{{y}}.jpg?v={picture.version}"
    return JSONResponse({**told, "levels": tiles.level_count(width, height), "url": url})


def _tile(request: Request) -> Response:
    found = re.fullmatch(r"(\d{1,6})_(\d{1,6})", request.path_params["tile"])
    if found is None:
        raise AnswerError(404, "tile", "no such tile", "{x}_{y}.jpg", "Look at info.json.")
    picture = _picture(request)
    data = tiles.tile(picture, request.path_params["z"], int(found[1]), int(found[2]))
    return kept(request, picture.version, Response(data, media_type="image/jpeg"))
