"""The real server on a bench in a temporary folder, and the steps that the stories share."""

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, expect

from partingline.workbench.app import make_app
from tests.workbench.browser.conftest import ROOT

DEMO = ROOT / "demo" / "tern-65"
PATIENCE_MS = 30_000
"""How long a state may take to come on a busy machine; nothing here is a measurement."""


@contextmanager
def served_at(folder: Path) -> Iterator[str]:
    """The address of a server over the bench in a folder."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    app = make_app(folder, port=port)
    server = uvicorn.Server(uvicorn.Config(app, port=port, log_level="critical", timeout_graceful_shutdown=0))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(10)


def patient(browser: Browser) -> BrowserContext:
    """A browser of one person, who waits for what has to come."""
    context = browser.new_context(viewport={"width": 1280, "height": 900}, reduced_motion="reduce")
    context.set_default_timeout(PATIENCE_MS)
    return context


def open_page(page: Page, address: str) -> None:
    """Go to a page whose script has taken over what it holds."""
    page.goto(address)
    expect(page.locator("html")).to_have_attribute("data-ready", "", timeout=PATIENCE_MS)


def name_mark(page: Page, subject: str, note: str = "") -> None:
    """Answer what a mark is of, by keyboard."""
    page.get_by_label("Of what?").fill(subject)
    page.get_by_label("Note").fill(note)
    page.keyboard.press("Enter")
    expect(page.locator("dialog")).to_have_count(0, timeout=PATIENCE_MS)


def tab_to(page: Page, selector: str, most: int = 120) -> None:
    """Press Tab until the focus is on it, as someone without a mouse would."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate("selector => document.activeElement?.matches(selector) ?? false", selector):
            return
    raise AssertionError(f"{selector} is not reached by {most} tabs")
