"""Pictures inside drawings of the report: the report carries them in itself, a page asks for them by their content.

Nothing but this server's own addresses may be shown (`img-src 'self'`), and a page stays light.
"""

import base64
import hashlib
import re
import threading
from collections import OrderedDict

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from partingline.workbench.api.answers import AnswerError
from partingline.workbench.pages.plain import paged

_DATA = re.compile(r'href="data:(image/(?:png|jpeg|webp));base64,([A-Za-z0-9+/=]+)"')
_MOST_BYTES = 64 << 20
_kept: OrderedDict[str, tuple[str, bytes]] = OrderedDict()
_lock = threading.Lock()


def routes() -> list[Route]:
    """The address of a picture."""
    return [Route("/drawn/{name}", paged(_picture), methods=["GET"])]


def by_address(page: str) -> str:
    """The page with every picture that it carries in itself led to its address."""
    return _DATA.sub(lambda found: f'href="/drawn/{_keep(found[1], base64.b64decode(found[2]))}"', page)


def _keep(media: str, data: bytes) -> str:
    """Keep a picture under its content; the oldest go when there are too many, and come again with their page."""
    name = hashlib.sha256(data).hexdigest()[:32]
    with _lock:
        _kept[name] = (media, data)
        _kept.move_to_end(name)
        while sum(len(one) for _, one in _kept.values()) > _MOST_BYTES:
            _kept.popitem(last=False)
    return name


def _picture(request: Request) -> Response:
    with _lock:
        found = _kept.get(request.path_params["name"])
    if found is None:
        raise AnswerError(404, "picture", "not kept any more", "a picture of a page", "Reload the page.")
    return Response(found[1], media_type=found[0], headers={"cache-control": "private, max-age=31536000, immutable"})
