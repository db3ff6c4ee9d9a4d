"""A bench with the invented demonstration unit, served on loopback for real."""

import shutil
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest
import uvicorn
from starlette.applications import Starlette

from partingline.workbench.app import make_app
from partingline.workbench.server import _listen

DEMO = Path(__file__).parents[2] / "demo" / "tern-65"


@dataclass(frozen=True)
class Served:
    """A running workbench: its address, its app, its bench, and a client that speaks as a page does."""

    address: str
    app: Starlette
    bench: Path
    page: httpx.Client
    token: str

    @property
    def unit(self) -> Path:
        """The folder of the demonstration unit."""
        return self.bench / "tern-65"


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The workbench on a free port of loopback."""
    bench = tmp_path_factory.mktemp("bench")
    shutil.copytree(DEMO, bench / "tern-65")
    yield from serving(bench)


def serving(bench: Path, access_token: str = "", host: str = "127.0.0.1") -> Iterator[Served]:
    """Serve a bench until the generator is closed."""
    listening = _listen("127.0.0.1", 0)
    port = listening.getsockname()[1]
    app = make_app(bench, host=host, port=port, access_token=access_token)
    server = uvicorn.Server(uvicorn.Config(app, log_level="error", timeout_graceful_shutdown=1, lifespan="on"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    for _ in range(1000):
        if server.started:
            break
        time.sleep(0.02)
    address, token = f"http://127.0.0.1:{port}", app.state.access.page_token
    with httpx.Client(base_url=address, headers={"X-Partingline": token}, timeout=60, trust_env=False) as page:
        yield Served(address, app, bench, page, token)
    server.should_exit = True
    thread.join(5)
    listening.close()
