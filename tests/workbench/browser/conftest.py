"""A headless Chromium and a server for the story tests; they are skipped only where Chromium is not installed."""

import asyncio
import shutil
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, ConsoleMessage, Page, Request, sync_playwright

from tests.workbench.browser.desk import Desk
from tests.workbench.browser.stand_in import StandIn

ROOT = Path(__file__).parents[3]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium, and the bundle built from the sources as they are."""
    if CHROMIUM is None:
        pytest.skip("Chromium is not installed")
    subprocess.run(
        [sys.executable, str(ROOT / "tools" / "build_workbench.py"), "--require"], check=True, capture_output=True
    )
    with sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        yield chromium
        chromium.close()


@dataclass
class Bench:
    """A running server, its desk, and what the pages complained of."""

    address: str
    desk: Desk
    faults: list[str] = field(default_factory=list)
    loop: asyncio.AbstractEventLoop | None = None

    def call(self, do: Callable[..., Any], *arguments: Any) -> None:
        """Do something in the server's thread, as another person's request would."""
        assert self.loop is not None
        self.loop.call_soon_threadsafe(do, *arguments)

    def watch(self, page: Page) -> Page:
        """Keep every error, refused policy and request that leaves the server."""

        def said(message: ConsoleMessage) -> None:
            if message.type == "error" and "the server responded with a status of 4" not in message.text:
                self.faults.append(message.text)

        def asked(request: Request) -> None:
            if not request.url.startswith(self.address):
                self.faults.append(f"asks {request.url}")

        page.on("console", said)
        page.on("pageerror", lambda error: self.faults.append(str(error)))
        page.on("request", asked)
        return page


@pytest.fixture
def bench() -> Iterator[Bench]:
    """The stand-in server on a free port; after the test, no page may have complained."""
    desk = Desk()
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    config = uvicorn.Config(
        StandIn(desk).application(),
        host="127.0.0.1",
        port=port,
        log_level="error",
        timeout_graceful_shutdown=0,
        lifespan="off",
    )
    server = uvicorn.Server(config)
    found = Bench(f"http://127.0.0.1:{port}", desk)

    async def serve() -> None:
        found.loop = asyncio.get_running_loop()
        await server.serve()

    thread = threading.Thread(target=lambda: asyncio.run(serve()), daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield found
    server.should_exit = True
    thread.join(5)
    assert found.faults == []


@pytest.fixture
def page(browser: Browser, bench: Bench) -> Iterator[Page]:
    """One person's page."""
    context = browser.new_context(viewport={"width": 1280, "height": 860})
    context.set_default_timeout(6000)
    yield bench.watch(context.new_page())
    context.close()
