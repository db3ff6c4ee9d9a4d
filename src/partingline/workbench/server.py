"""Serve a bench: the address, the token, and uvicorn with bounds."""

import ipaddress
import secrets
import socket
from collections.abc import Callable
from pathlib import Path

from partingline.workbench.app import make_app

MOST_CONNECTIONS = 1024


def serve(root: Path, host: str, port: int, say: Callable[[str], None]) -> None:
    """Serve until the program is stopped. Raises as `make_app`, and OSError where the address cannot be had."""
    import uvicorn

    token = "" if is_loopback(host) else secrets.token_urlsafe(24)
    listening = _listen(host, port)
    port = listening.getsockname()[1]
    app = make_app(root, host=host, port=port, access_token=token)
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        lifespan="on",
        limit_concurrency=MOST_CONNECTIONS,
        timeout_keep_alive=20,
        timeout_graceful_shutdown=2,
        h11_max_incomplete_event_size=64 << 10,
    )
    shown = f"[{host}]" if ":" in host else host
    say(f"http://{shown}:{port}/" + (f"?access={token}" if token else ""))
    uvicorn.Server(config).run(sockets=[listening])


def is_loopback(host: str) -> bool:
    """Whether an address is this machine's own."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def _listen(host: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listening = socket.socket(family, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
        listening.listen(128)  # who comes before the server is ready waits instead of being refused
    except OSError:
        listening.close()
        raise
    return listening
