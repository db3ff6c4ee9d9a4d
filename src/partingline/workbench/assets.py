"""What every page loads, under addresses that change with the content, so that a browser may keep it for good."""

import hashlib
from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response

from partingline.publish.fonts import FONTS

HERE = Path(__file__).parent
STATIC = HERE / "static"
ICON = HERE / "style" / "icon.svg"
FOR_GOOD = "private, max-age=31536000, immutable"
_hashes: dict[tuple[Path, int, int], str] = {}


def asset(address: str) -> str:
    """An address of `/static/`, `/fonts/`, `/style.css` or `/icon.svg` with the version of its content; '' without."""
    version = version_of(address)
    return f"{address}?v={version}" if version else ""


def version_of(address: str) -> str:
    """A short hash of what is served at an address; '' where nothing is."""
    if address == "/style.css":
        from partingline.workbench.pages.render import sheet

        return _short(sheet().encode("utf-8"))
    folder, _, name = address.removeprefix("/").partition("/")
    path = {"static": STATIC / name, "fonts": FONTS / name}.get(folder, ICON)
    if not path.is_file():
        return ""
    told = path.stat()
    key = (path, told.st_mtime_ns, told.st_size)
    if key not in _hashes:
        _hashes[key] = _short(path.read_bytes())
    return _hashes[key]


def kept(request: Request, version: str, answer: Response) -> Response:
    """The answer, kept for good where it was asked for by this version; else asked for again, and sent if changed."""
    tag = f'"{version}"'
    asked = request.query_params.get("v") == version
    headers = {"cache-control": FOR_GOOD if asked else "private, no-cache", "etag": tag}
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    answer.headers.update(headers)
    return answer


def _short(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:16]
