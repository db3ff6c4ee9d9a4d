"""Who may ask what: address, origin, token, size. And what every answer tells the browser to refuse.

An ASGI layer around everything: a request that it turns away reaches nothing else.
"""

import hmac
import ipaddress
import json
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs, urlsplit

from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; "
    "frame-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'self'"
)
_HEADERS = {
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
SAFE = ("GET", "HEAD")


@dataclass(frozen=True)
class Access:
    """Where the server listens and who may come in.

    `page_token` stands in every page: what changes something must bring it. `access_token` is "" on loopback only.
    """

    host: str
    port: int
    page_token: str
    access_token: str = ""

    @property
    def cookie(self) -> str:
        """The name of the cookie; cookies are shared by the ports of a machine."""
        return f"partingline_{self.port}"


class Guard:
    """Turns away what does not come from a page of this server."""

    def __init__(self, app: ASGIApp, access: Access) -> None:
        self.app = app
        self.access = access

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        headers: dict[str, str] = {}
        for name, value in scope["headers"]:
            headers.setdefault(name.decode("latin-1"), value.decode("latin-1"))
        fault = self._fault(scope, headers)
        if fault is None and (given := self._given(scope)):
            await self._let_in(given, send)
        elif fault is not None:
            await _refuse(send, *fault)
        else:
            await self.app(scope, receive, _with_headers(send))

    def _fault(self, scope: Scope, headers: dict[str, str]) -> tuple[int, str, str, str] | None:
        host = headers.get("host", "")
        if not self._is_own(host):
            step = "Open the address that `partingline serve` printed."
            return 403, f"Host {host!r:.100}", "an address of this server", step
        origin = headers.get("origin", "")
        if origin and urlsplit(origin).netloc != host:
            return 403, f"Origin {origin!r:.100}", "a page of this server", "Do it from the workbench itself."
        if headers.get("sec-fetch-site", "none") in ("cross-site", "same-site") and not self._is_visit(scope, headers):
            return 403, "a request from another site", "a page of this server", "Do it from the workbench itself."
        if scope["method"] not in SAFE and not origin and "x-partingline" not in headers:
            return 403, "a change without an Origin", "Origin, or the header X-Partingline", "Send one of them."
        if self.access.access_token and not self._may(headers) and not self._given(scope):
            expected = "the token: /?access=TOKEN, or Authorization: Bearer TOKEN"
            return 401, "no token", expected, "Open the address that `partingline serve` printed."
        return None

    def _is_visit(self, scope: Scope, headers: dict[str, str]) -> bool:
        """Someone followed a link to a page: nothing changes by that."""
        return scope["method"] in SAFE and headers.get("sec-fetch-mode") == "navigate"

    def _is_own(self, host: str) -> bool:
        """Loopback names, or with another address any literal one: names could be made to lead here."""
        try:
            parts = urlsplit(f"//{host}")
            name, port = parts.hostname or "", parts.port or 80
        except ValueError:
            return False
        if parts.netloc != host or "@" in host or port != self.access.port:
            return False
        if name in ("localhost", "127.0.0.1", "::1", self.access.host.casefold()):
            return True
        return bool(self.access.access_token) and _is_address(name)

    def _may(self, headers: dict[str, str]) -> bool:
        scheme, _, token = headers.get("authorization", "").partition(" ")
        if scheme.casefold() == "bearer" and same(token, self.access.access_token):
            return True
        try:
            cookie = SimpleCookie(headers.get("cookie", "")).get(self.access.cookie)
        except CookieError:
            return False
        return cookie is not None and same(cookie.value, self.access.access_token)

    def _given(self, scope: Scope) -> str:
        """The right token in the address, and where to go on to."""
        if not self.access.access_token or scope["method"] not in SAFE:
            return ""
        told = parse_qs(scope["query_string"].decode("latin-1")).get("access", [""])[0]
        return "/" if same(told, self.access.access_token) else ""

    async def _let_in(self, to: str, send: Send) -> None:
        cookie = f"{self.access.cookie}={self.access.access_token}; Path=/; HttpOnly; SameSite=Strict"
        headers = [(b"location", to.encode()), (b"set-cookie", cookie.encode()), (b"content-length", b"0")]
        await _with_headers(send)({"type": "http.response.start", "status": 303, "headers": headers})
        await send({"type": "http.response.body", "body": b""})


def same(given: str, expected: str) -> bool:
    """Whether two tokens are one, in a time that tells nothing."""
    return bool(expected) and hmac.compare_digest(given.encode("utf-8", "replace"), expected.encode())


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def _with_headers(send: Send) -> Send:
    async def guarded(message: Message) -> None:
        if message["type"] == "http.response.start":
            given = {name.lower() for name, _ in message["headers"]}
            own = {**_HEADERS, "content-security-policy": POLICY}
            added = [(n.encode(), v.encode()) for n, v in own.items() if n.encode() not in given]
            message = {**message, "headers": [*message["headers"], *added]}
        await send(message)

    return guarded


async def _refuse(send: Send, status: int, found: str, expected: str, step: str) -> None:
    told = {"error": {"place": "request", "found": found, "expected": expected, "next_step": step}}
    body = json.dumps(told).encode()
    headers = [(b"content-type", b"application/json"), (b"content-length", str(len(body)).encode())]
    await _with_headers(send)({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
